// SPDX-License-Identifier: Apache-2.0
#include "material_likelihood.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace perisclera {

namespace {

/// What shows by the fat it holds off, with no sign of its own, is more often muscle, gland or lid, which differ between the two eyes of
/// a person; the more often where one series alone shows it. Set so that of such masses in drawn anatomies about as many are explants as are
/// said to be (seed 4 of tests/accuracy.sh: some 3 in 10).
double displaced_by_explant(double series) { return series >= 1.5 ? 0.15 : 0.08; }

double normal(double x, double mean, double sd) {
    const double z = (x - mean) / sd;
    return std::exp(-0.5 * z * z) / (sd * std::sqrt(2.0 * std::numbers::pi));
}

double normal_above(double x, double mean, double sd) { return 0.5 * std::erfc((x - mean) / (sd * std::numbers::sqrt2)); }

/// Of a value spread evenly from low to high, read with this uncertainty.
double even(double x, double low, double high, double sd) { return (normal_above(low, x, sd) - normal_above(high, x, sd)) / (high - low); }

double around(const Reading& r, Expected e) { return normal(r.value, e.mean, std::hypot(e.spread, r.uncertainty)); }
constexpr double highest_peak_hu = 300.0;   // of the range over which a lower bound is spread
constexpr double never = 1e-6;              // as good as

/// The specimen reaches at least what was read.
double reaches(const Reading& r, Expected e) {
    return normal_above(r.value, e.mean, std::hypot(e.spread, r.uncertainty)) / highest_peak_hu;
}

/// Times of usual series, where the header does not tell.
MrTiming timing_of(const Reading& r) {
    constexpr MrTiming usual_t1{550.0, 12.0}, usual_t2{4000.0, 100.0};
    return r.timing.value_or(r.kind == EvidenceKind::t1_ratio ? usual_t1 : usual_t2);
}

/// The signal relative to vitreous on this very series; no equation holds to better than an eighth on real scanners (assumed).
Expected to_vitreous(const Relaxing& what, const Reading& r) {
    constexpr double least = 0.03, of_signal = 0.12;
    const double ratio = mr_signal(what, timing_of(r)) / mr_signal(vitreous_relaxing(), timing_of(r));
    return {ratio, std::hypot(least, of_signal * ratio)};
}

/// Twice a half of the bell, since a magnitude is not less than nothing, less what blur lifts above.
double dark_on_mr(const Reading& r) {
    const Expected dark = silicone_mr_to_vitreous(timing_of(r).echo_ms);
    return 1.6 * normal(std::max(r.value, 0.0), dark.mean, std::hypot(dark.spread, r.uncertainty));
}

constexpr double pus_t2_ms = 200.0;   // fluid that relaxes faster is pus

/// A signal of which nothing is known, up to those of fat on T1 and somewhat above vitreous on T2.
double of_anything(const Reading& r) { return r.kind == EvidenceKind::t1_ratio ? 1.0 / 4.0 : 1.0 / 1.2; }

/// How often what is no explant follows the sclera behind the limbus for so many hours, against an explant: cysts and splinters are short, tissue and pus end sooner than
/// what was laid round the eye, and little goes further than a quarter round (assumed).
double along_the_wall(const Imitation& what, double hours) {
    const auto up_to = [&](double amount, double last, double fade) { return amount * std::exp(-std::max(hours - last, 0.0) / fade); };
    switch (what.kind) {
        case LookAlike::fluid: return what.relaxing.t2_ms > pus_t2_ms || what.falls_as_silicone ? up_to(2.0, 1.5, 0.35) : up_to(0.6, 2.6, 0.8);
        case LookAlike::airy: return up_to(1.3, 1.5, 0.5);
        case LookAlike::dense: return up_to(1.2, 2.5, 1.0);
        case LookAlike::soft_tissue:
        case LookAlike::unknown: break;
    }
    return up_to(0.6, 2.6, 0.8);
}

/// At least what was read, of a value spread evenly.
double even_above(double x, double low, double high, double sd) { return std::clamp((high - x) / (high - low), 0.0, 1.0) * normal_above(x, high, sd); }

Expected on_ct(const Imitation& what, double kvp) {
    if (!what.falls_as_silicone) return *what.hu;
    const Expected here = ByComposition(kvp).silicone_grade(what.hu->mean);
    return {here.mean, std::hypot(here.spread, what.hu->spread)};
}

/// How far its inner face stands off the sclera. What is sewn on lies on it or dents it (common practice, no source); sponges of drawn anatomies read so (seeds 5 to 7 of tests/accuracy.sh).
constexpr Expected explant_off_wall{-0.65, 0.30};

}  // namespace

bool of_ct(const Reading& r) { return r.kind == EvidenceKind::ct_number || r.kind == EvidenceKind::ct_peak; }
bool of_mr(const Reading& r) { return r.kind == EvidenceKind::t1_ratio || r.kind == EvidenceKind::t2_ratio; }

std::vector<Expected> shown(const Reading& r, const std::vector<Possible<SiliconeGrade>>& grades) {
    std::vector<Expected> out(grades.size());
    if (!of_ct(r)) return out;
    const ByComposition on_ct(r.kvp);
    for (std::size_t k = 0; k < grades.size(); ++k) out[k] = on_ct.silicone_grade(grades[k].state.hu_at_120_kvp);
    return out;
}

std::vector<Expected> shown(const Reading&, const std::vector<Possible<SpongeDensity>>& sponges) {
    std::vector<Expected> out;
    for (const auto& p : sponges) out.push_back({p.state.hu, 0.0});
    return out;
}

std::vector<Expected> shown(const Reading& r, const std::vector<Possible<HydrogelState>>& states) {
    std::vector<Expected> out(states.size());
    if (of_ct(r)) {
        const ByComposition on_ct(r.kvp);
        for (std::size_t k = 0; k < states.size(); ++k) out[k] = on_ct.hydrogel(states[k].state.water_fraction, states[k].state.dry_density);
    } else if (of_mr(r)) {
        for (std::size_t k = 0; k < states.size(); ++k) out[k] = to_vitreous(hydrogel_relaxing(states[k].state.water_fraction, states[k].state.binding), r);
    }
    return out;
}

double likelihood(const Reading& r, MaterialClass material, Expected shown) {
    const bool solid = material == MaterialClass::solid_silicone, sponge = material == MaterialClass::silicone_sponge;
    switch (r.kind) {
        case EvidenceKind::ct_number: return around(r, shown);
        case EvidenceKind::ct_peak: return sponge ? never / highest_peak_hu : reaches(r, shown);
        case EvidenceKind::t1_ratio:
        case EvidenceKind::t2_ratio: return solid || sponge ? dark_on_mr(r) : around(r, shown);
        case EvidenceKind::section_thickness:
            // Bands and tires 0.6 to 2.75 mm, sponges 3 mm and more (stock sizes from memory): a gentle hint, never a proof.
            if (solid) return 0.12 + 0.38 / (1.0 + std::exp((r.value - 3.0) / 0.4));
            if (sponge) return 0.01 + 0.34 / (1.0 + std::exp(-(r.value - 2.2) / 0.3));
            // Hydrogel is cut from stock 3 mm thick and more and swells from there (one case: 3.3 x 5.5 mm, Korean J Ophthalmol case report).
            return 0.03 + 0.55 / (1.0 + std::exp(-(r.value - 2.4) / 0.4));
        case EvidenceKind::off_wall: return around(r, explant_off_wall);
        case EvidenceKind::displaces_fat: return displaced_by_explant(r.value);
        // Hydrogel is laid along the limbus and swells: seldom less than an hour and a half (assumed). Sponges are laid across as well.
        case EvidenceKind::fits_wall: return solid || sponge ? 1.0 : 0.15 + 0.85 / (1.0 + std::exp(-(r.value - 1.6) / 0.15));
    }
    return 1.0;
}

double likelihood(const Reading& r, const Imitation& what) {
    const LookAlike kind = what.kind;
    switch (r.kind) {
        case EvidenceKind::ct_number:
            if (kind == LookAlike::soft_tissue && r.muscle) return normal(r.value, *r.muscle, std::hypot(10.0, r.uncertainty));
            return what.hu ? around(r, on_ct(what, r.kvp)) : even(r.value, what.hu_range[0], what.hu_range[1], r.uncertainty);
        case EvidenceKind::ct_peak:
            if (what.hu) return reaches(r, on_ct(what, r.kvp));
            if (kind == LookAlike::airy) return never / highest_peak_hu;
            return even_above(r.value, what.hu_range[0], what.hu_range[1], r.uncertainty) / highest_peak_hu;
        case EvidenceKind::t1_ratio:
        case EvidenceKind::t2_ratio:
            if (kind == LookAlike::soft_tissue && r.muscle) return normal(r.value, *r.muscle, std::hypot(0.05 + 0.2 * *r.muscle, r.uncertainty));
            if (what.on_mr == Imitation::OnMr::signal) return around(r, to_vitreous(what.relaxing, r));
            if (what.on_mr == Imitation::OnMr::dark) return dark_on_mr(r);
            return of_anything(r);
        case EvidenceKind::section_thickness: return 0.25;
        case EvidenceKind::fits_wall: return along_the_wall(what, r.value);
        // Much that is no explant touches the sclera, what came through the lids need not (assumed).
        case EvidenceKind::off_wall: return std::lerp(even(r.value, -0.5, 4.5, r.uncertainty), normal(r.value, 0.0, std::hypot(0.5, r.uncertainty)), kind == LookAlike::airy ? 0.0 : 0.6);
        case EvidenceKind::displaces_fat: break;
    }
    return 1.0;
}

double likelihood_of_anything(const Reading& r) {
    constexpr double hu_range = 1500.0;
    return of_mr(r) ? of_anything(r) : 1.0 / hu_range;
}

std::array<std::optional<std::array<double, 2>>, 4> expected_ranges(const Reading& r) {
    constexpr auto solid = static_cast<std::size_t>(MaterialClass::solid_silicone), sponge = static_cast<std::size_t>(MaterialClass::silicone_sponge),
                   hydrogel = static_cast<std::size_t>(MaterialClass::hydrogel);
    constexpr double quantile = 1.96;
    const auto range = [](Expected e) { return std::array<double, 2>{e.mean - quantile * e.spread, e.mean + quantile * e.spread}; };
    std::array<std::optional<std::array<double, 2>>, 4> out;
    const bool ct = of_ct(r), mr = of_mr(r);
    if (!ct && !mr) return out;
    const Expected dark = silicone_mr_to_vitreous(timing_of(r).echo_ms);
    out[solid] = ct ? range(solid_silicone_hu(r.kvp)) : std::array<double, 2>{0.0, range(dark)[1]};
    out[sponge] = ct ? range(sponge_hu()) : out[solid];
    std::array<double, 2> wet{HUGE_VAL, -HUGE_VAL};
    for (const Expected e : shown(r, hydrogel_states())) {
        const auto here = range(e);
        wet = {std::min(wet[0], here[0]), std::max(wet[1], here[1])};
    }
    if (mr) wet[0] = std::max(wet[0], 0.0);
    out[hydrogel] = wet;
    return out;
}

}  // namespace perisclera
