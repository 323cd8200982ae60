// SPDX-License-Identifier: Apache-2.0
#include "drawn_measurement.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "phantoms/mr_protocol.h"
#include "phantoms/random_field.h"
#include "tests/bank/draw.h"

namespace perisclera::material_sweep {

namespace {

using bank::dealt;
using bank::Draw;
using phantoms::Tissue;

enum class Deck : std::uint64_t { series = 901, outside, kvp, mass };

double normal(Draw& draw) { return std::sqrt(-2.0 * std::log(1.0 - draw.between(0.0, 1.0))) * std::cos(2.0 * std::numbers::pi * draw.between(0.0, 1.0)); }
double drawn_in(Draw& draw, const std::array<double, 2>& range) { return draw.between(range[0], range[1]); }

phantoms::MrSetting varied(Draw& draw, phantoms::Kind kind, double field) {
    phantoms::MrSetting s = phantoms::usual_mr_setting(kind);
    s.field_strength_tesla = field;
    s.repetition_time_ms *= draw.between(0.85, 1.15);
    s.echo_time_ms *= draw.between(0.85, 1.15);
    return s;
}

Conditions drawn_conditions(Draw& draw, std::uint64_t seed, std::size_t slot) {
    const auto of_deck = [&](Deck deck) { return phantoms::mixed(seed, static_cast<std::uint64_t>(deck)); };
    Conditions c{};
    c.mass = dealt(std::array{true, false, false, false, false, false, false, false, false, false}, of_deck(Deck::mass), slot);
    // What holds off fat and is bright on T2 shows by that.
    c.series = c.mass ? draw.one_of(std::array{"CT", "T1", "CT+T1"})
                      : dealt(std::array{"CT", "T1", "T2", "CT+T1", "CT+T2", "T1+T2", "CT+T1+T2", "CT+T1+T2"}, of_deck(Deck::series), slot);
    c.kvp = dealt(std::array{80.0, 90.0, 100.0, 110.0, 120.0, 120.0, 130.0, 140.0}, of_deck(Deck::kvp), slot);
    c.slice_mm = draw.one_of(std::array{2.0, 3.0, 3.0, 4.0});
    const double field = draw.happens(0.25) ? 3.0 : 1.5;
    c.t1 = varied(draw, phantoms::Kind::t1, field);
    c.t2 = varied(draw, phantoms::Kind::t2, field);
    c.ct_uncertainty = draw.between(2.0, 9.0);
    c.ratio_uncertainty = draw.between(0.06, 0.12);
    c.thickness_uncertainty = draw.between(0.15, 0.4);
    c.wall_uncertainty = draw.between(0.25, 0.5);
    c.own_signs = draw.happens(0.5);
    return c;
}

const BodyKind& drawn_kind(Draw& draw, const Conditions& c) {
    const PerClass shares = class_share(c.mass);
    const double at = draw.between(0.0, 1.0);
    std::size_t truth = 0;
    for (double below = shares[0]; truth + 1 < shares.size() && at >= below; below += shares[truth]) ++truth;
    std::vector<const BodyKind*> met;
    double sum = 0.0;
    for (const BodyKind& kind : body_kinds())
        if (static_cast<std::size_t>(kind.truth) == truth && may_be_met(kind, c)) met.push_back(&kind), sum += kind.share;
    double left = draw.between(0.0, sum);
    for (const BodyKind* kind : met)
        if ((left -= kind->share) < 0.0) return *kind;
    return *met.back();
}

double drawn_latent(Draw& draw, const BodyKind& kind, const Conditions& c, bool outside) {
    for (;;) {
        const double value = drawn_in(draw, latent_range(kind));
        if (c.mass && kind.truth == MaterialClass::hydrogel && value < wettest_mass_from) continue;
        if (draw.happens(latent_density(kind, value, outside))) return value;
    }
}

/// The readings in the order in which the program has them, of the series in the order CT, T1, T2.
class Readings {
public:
    Readings(Draw& draw, TrueSignals& signals, DrawnMeasurement& body) : draw_(draw), signals_(signals), body_(body), c_(body.conditions), d_(disorder(body.outside_assumptions)) {
        measured_mm_ = body.thickness_mm + d_.noise_factor * c_.thickness_uncertainty * normal(draw);
        // How much of it the blur lets through, and of its neighbours: one for all series, since it goes by the thickness.
        share_ = draw.between(0.0, 1.0);
    }

    void read() {
        std::size_t series = 0;
        if (c_.has("CT")) ct(series++);
        // On MR alone T2 shows it first.
        const bool t2_first = !c_.has("CT") && c_.has("T2");
        if (c_.has("T1")) ratio(EvidenceKind::t1_ratio, c_.t1, series++, c_.has("CT") || t2_first);
        if (c_.has("T2")) ratio(EvidenceKind::t2_ratio, c_.t2, series++, c_.has("CT"));
        if (!is_void_) add({EvidenceKind::section_thickness, 0, measured_mm_, c_.thickness_uncertainty});
        if (faces_shown_)
            add({EvidenceKind::off_wall, 0, body_.kind->off_wall_mm.mean + body_.kind->off_wall_mm.spread * normal(draw_) + d_.noise_factor * c_.wall_uncertainty * normal(draw_), c_.wall_uncertainty, c_.kvp});
        if (c_.mass)
            add({EvidenceKind::displaces_fat, 0, (c_.has("CT") ? 1.0 : 0.0) + (c_.has("T1") ? 0.5 : 0.0), 0.0});
        else
            add({EvidenceKind::fits_wall, 0, body_.span_hours + d_.noise_factor * span_uncertainty * normal(draw_), span_uncertainty});
    }

private:
    /// Darker than anything else of the orbit, as the program asks of a void: on T1 vitreous is dark, on T2 muscle.
    static double void_below(EvidenceKind kind) { return kind == EvidenceKind::t1_ratio ? 0.7 : 0.2; }

    void add(const Reading& reading) { body_.readings.push_back(reading); }

    void ct(std::size_t series) {
        const BodyKind& kind = *body_.kind;
        const double usual = signals_.ct(kind, body_.latent, c_.kvp);
        const double polymer = kind.truth == MaterialClass::hydrogel ? d_.polymer_spread * usual * normal(draw_) : 0.0;
        const double own = usual + polymer + kind.hu_spread * normal(draw_);
        if (usual > bright_hu && measured_mm_ < thin_mm) {
            constexpr double stated = 12.0;   // as the program states it
            const double shown = std::lerp(peak_surround_hu, own, std::lerp(least_peak_share, 1.0, share_));
            add({EvidenceKind::ct_peak, series, shown + d_.noise_factor * stated * normal(draw_), stated, c_.kvp});
            return;
        }
        const double value = own + d_.noise_factor * c_.ct_uncertainty * normal(draw_);
        constexpr double muscle_hu = 50.0;
        add({EvidenceKind::ct_number, series, value, c_.ct_uncertainty, c_.kvp, false, c_.mass ? std::optional(muscle_hu) : std::nullopt});
        faces_shown_ = !c_.mass && (value > bright_hu || value < -100.0);
    }

    void ratio(EvidenceKind kind, const phantoms::MrSetting& setting, std::size_t series, bool by_place) {
        if (by_place && measured_mm_ < (c_.own_signs ? thinnest_on_mr_mm : std::max(3.0, c_.slice_mm))) return;
        const double beside = ratio_to_vitreous(Tissue::fat, setting);
        const double own = ratio_to_vitreous(*body_.kind, body_.latent, setting) * (1.0 + body_.kind->ratio_spread * normal(draw_)) * (1.0 + d_.gain_spread * normal(draw_));
        double value = std::lerp(own, beside, share_ * most_diluted(body_.thickness_mm, c_.slice_mm, by_place)) + d_.noise_factor * c_.ratio_uncertainty * normal(draw_);
        if (by_place && draw_.happens(d_.misread_share)) value = draw_.between(0.0, highest_misread(kind));
        is_void_ = is_void_ || (!by_place && value < void_below(kind));
        const double dilution = by_place ? most_diluted(measured_mm_, c_.slice_mm, true) * std::max(1.0, beside) : 0.0;
        const double borrowed = !by_place && is_void_ ? 0.7 * std::max(value, 0.0) : 0.0;   // as the program states it of a void
        const double foreign = c_.mass ? 0.25 * beside : 0.0;
        Reading r{kind, series, value, std::hypot(std::hypot(c_.ratio_uncertainty, dilution), std::hypot(borrowed, foreign)), c_.kvp, by_place,
                  c_.mass ? std::optional(ratio_to_vitreous(Tissue::muscle, setting)) : std::nullopt};
        r.timing = MrTiming{setting.repetition_time_ms, setting.echo_time_ms};
        add(r);
    }

    Draw& draw_;
    TrueSignals& signals_;
    DrawnMeasurement& body_;
    const Conditions& c_;
    Disorder d_;
    double measured_mm_, share_;
    bool faces_shown_ = false, is_void_ = false;
};

}  // namespace

Disorder disorder(bool outside) { return outside ? Disorder{1.25, 0.15, 0.12, 0.08} : Disorder{1.0, 0.03, 0.0, 0.02}; }
double highest_misread(EvidenceKind kind) { return kind == EvidenceKind::t1_ratio ? 4.0 : 1.2; }
PerClass class_share(bool mass) { return mass ? PerClass{0.0, 0.0, 0.2, 0.8} : prior_share; }

bool may_be_met(const BodyKind& kind, const Conditions& c) {
    if (c.mass) return kind.truth == MaterialClass::hydrogel || kind.tissue == Tissue::muscle || kind.tissue == Tissue::fluid || kind.tissue == Tissue::pus;
    return c.has("CT") || kind.thickness_mm[1] > thinnest_on_mr_mm;
}

std::array<double, 2> thickness_range(const BodyKind& kind, const Conditions& c) {
    return {c.has("CT") ? kind.thickness_mm[0] : std::max(kind.thickness_mm[0], thinnest_on_mr_mm), kind.thickness_mm[1]};
}

double most_diluted(double thickness_mm, double slice_mm, bool by_place) { return (by_place ? 0.35 : 0.1) * std::exp(-thickness_mm / slice_mm); }

DrawnMeasurement draw_measurement(std::uint64_t seed, int number, TrueSignals& signals) {
    const auto slot = static_cast<std::size_t>(number);
    Draw draw(phantoms::mixed(phantoms::mixed(seed, 0x6d65'6173'7572'6564u), slot));
    DrawnMeasurement body{};
    body.conditions = drawn_conditions(draw, seed, slot);
    body.outside_assumptions = dealt(std::array{false, false, true}, phantoms::mixed(seed, static_cast<std::uint64_t>(Deck::outside)), slot);
    body.kind = &drawn_kind(draw, body.conditions);
    body.latent = drawn_latent(draw, *body.kind, body.conditions, body.outside_assumptions);
    body.thickness_mm = drawn_in(draw, thickness_range(*body.kind, body.conditions));
    body.span_hours = drawn_in(draw, body.kind->span_hours);
    Readings(draw, signals, body).read();
    return body;
}

}  // namespace perisclera::material_sweep
