// SPDX-License-Identifier: Apache-2.0
#include "material_likelihood.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "growth_likelihood.h"
#include "perisclera/physics/intraocular_fluids.h"
#include "shape_likelihood.h"

namespace perisclera {

namespace {

/// What shows by the fat it holds off, with no sign of its own, is more often muscle, gland or lid, which differ between the two eyes of
/// a person; the more often where one series alone shows it. Set so that of such masses in drawn anatomies about as many are explants as are
/// said to be (seed 4 of tests/accuracy.sh: some 3 in 10). A silicone shows by itself more often than not, on CT by its number and on MR as a void.
double displaced_by(MaterialClass material, double series) { return (series >= 1.5 ? 0.41 : 0.22) * (material == MaterialClass::hydrogel ? 1.0 : 0.45); }

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

/// A signal of which nothing is known, up to those of fat on T1 and somewhat above vitreous on T2.
double of_anything(const Reading& r) { return r.kind == EvidenceKind::t1_ratio ? 1.0 / 4.0 : 1.0 / 1.2; }

/// At least what was read, of a value spread evenly.
double even_above(double x, double low, double high, double sd) { return std::clamp((high - x) / (high - low), 0.0, 1.0) * normal_above(x, high, sd); }

/// How far its inner face stands off the sclera. What is sewn on lies on it or dents it (common practice, no source); sponges of drawn anatomies read so (seeds 5 to 7 of tests/accuracy.sh).
constexpr Expected explant_off_wall{-0.65, 0.30};

/// Now and then the globe is fitted wrongly just where an element lies; then the reading says nothing of it, from some millimetres within to some beyond (how often, and how far: assumed).
double lies_on_wall(const Reading& r) {
    constexpr double misfitted = 0.02, from_mm = -3.0, to_mm = 4.0;
    return std::lerp(around(r, explant_off_wall), 1.0 / (to_mm - from_mm), misfitted);
}

/// Of what is sewn on: sponges with infection of the orbit, 0.83 % of 841 (Nemet AY et al., Clin Ophthalmol 2013;7:2147-2152), all of them taken to hold gas; the other explants taken
/// alike, so that gas tells no explant from another. What came through the lids brings air, and pus may ferment (assumed); so may what looked like a sponge be gas itself.
constexpr double explant_shows_gas = 0.0083;
double shows_gas(const Imitation& what) { return what.kind == LookAlike::airy || (what.kind == LookAlike::fluid && !is_collection(what)) ? 0.2 : 0.01; }

}  // namespace

bool of_ct(const Reading& r) { return r.kind == EvidenceKind::ct_number || r.kind == EvidenceKind::ct_peak; }
bool of_mr(const Reading& r) { return r.kind == EvidenceKind::t1_ratio || r.kind == EvidenceKind::t2_ratio; }

std::vector<Expected> shown(const Reading& r, const std::vector<Possible<SiliconeGrade>>& grades) {
    std::vector<Expected> out(grades.size());
    if (!of_ct(r)) return out;
    const ByComposition on_ct(r.kvp);
    for (std::size_t k = 0; k < grades.size(); ++k) {
        out[k] = on_ct.silicone_grade(grades[k].state.hu_at_120_kvp);
        out[k].spread = std::hypot(out[k].spread, 0.5 * silicone_grade_step);
    }
    return out;
}

std::vector<Expected> shown(const Reading&, const std::vector<Possible<SpongeDensity>>& sponges) {
    std::vector<Expected> out;
    for (const auto& p : sponges) out.push_back({p.state.hu, 0.5 * sponge_density_step});
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
        case EvidenceKind::section_thickness: return density_of_thickness(material, r);
        case EvidenceKind::fits_wall: return density_of_span(material, r);
        case EvidenceKind::off_wall: return lies_on_wall(r);
        case EvidenceKind::displaces_fat: return displaced_by(material, r.value);
        case EvidenceKind::growth: return likelihood_of_growth(r, material);
        case EvidenceKind::gas_beside: return explant_shows_gas;
    }
    return 1.0;
}

double likelihood(const Reading& r, const Imitation& what) {
    const LookAlike kind = what.kind;
    switch (r.kind) {
        case EvidenceKind::ct_number:
            if (kind == LookAlike::soft_tissue && r.muscle) return normal(r.value, *r.muscle, std::hypot(10.0, r.uncertainty));
            if (what.falls_as_silicone) return even(r.value, silicone_oil_hu(r.kvp).low, silicone_oil_hu(r.kvp).high, r.uncertainty);
            return what.hu ? around(r, *what.hu) : even(r.value, what.hu_range[0], what.hu_range[1], r.uncertainty);
        case EvidenceKind::ct_peak:
            if (what.falls_as_silicone) return even_above(r.value, silicone_oil_hu(r.kvp).low, silicone_oil_hu(r.kvp).high, r.uncertainty) / highest_peak_hu;
            if (what.hu) return reaches(r, *what.hu);
            if (kind == LookAlike::airy) return never / highest_peak_hu;
            return even_above(r.value, what.hu_range[0], what.hu_range[1], r.uncertainty) / highest_peak_hu;
        case EvidenceKind::t1_ratio:
        case EvidenceKind::t2_ratio:
            if (kind == LookAlike::soft_tissue && r.muscle) return normal(r.value, *r.muscle, std::hypot(0.05 + 0.2 * *r.muscle, r.uncertainty));
            if (what.on_mr == Imitation::OnMr::signal) return around(r, to_vitreous(what.relaxing, r));
            if (what.on_mr == Imitation::OnMr::dark) return dark_on_mr(r);
            return of_anything(r);
        case EvidenceKind::section_thickness: return density_of_thickness(what, r);
        case EvidenceKind::fits_wall: return density_of_span(what, r);
        // Much that is no explant touches the sclera, what came through the lids need not (assumed).
        case EvidenceKind::off_wall: return std::lerp(even(r.value, -0.5, 4.5, r.uncertainty), normal(r.value, 0.0, std::hypot(0.5, r.uncertainty)), kind == LookAlike::airy ? 0.0 : 0.6);
        case EvidenceKind::growth: return likelihood_of_growth(r, what);
        case EvidenceKind::gas_beside: return shows_gas(what);
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
