// SPDX-License-Identifier: Apache-2.0
#include "information.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace perisclera {

namespace {

/// Values that a reading may take, evenly spaced; what lies beyond is one value more.
struct Scale {
    double lowest, highest, step;
};
constexpr Scale hounsfield{-950.0, 750.0, 10.0}, ratio{-0.3, 5.0, 0.05};

/// Density of a second CT number of what is no explant: nearly the first one. The belief does not keep its specimens apart, and would draw another at every reading.
double as_shown_before(double value, const Reading& before, double uncertainty) {
    constexpr double by_energy_hu = 8.0;   // of soft tissue and fluid, assumed
    const double spread = std::hypot(before.uncertainty, uncertainty, by_energy_hu), z = (value - before.value) / spread;
    constexpr double none_beyond = 6.0;
    return std::abs(z) > none_beyond ? 0.0 : std::exp(-0.5 * z * z) / (spread * std::sqrt(2.0 * std::numbers::pi));
}

/// `before`: a CT number at hand, if the reading is another.
double mutual_information(const Belief& belief, const Reading& like, Scale scale, const Reading* before) {
    const PerClass prior = belief.probability();
    const Belief::Weighed weighed(like);
    PerClass beyond{1.0, 1.0, 1.0, 1.0};
    double bits = 0.0;
    const auto add = [&](const PerClass& given) {
        double any = 0.0;
        for (std::size_t m = 0; m < prior.size(); ++m) any += prior[m] * given[m];
        for (std::size_t m = 0; m < prior.size(); ++m)
            if (const double share = prior[m] * given[m]; share > 0.0) bits += share * std::log2(given[m] / any);
    };
    for (double value = scale.lowest; value <= scale.highest; value += scale.step) {
        PerClass given = weighed.of(belief, value);
        if (before != nullptr) given[static_cast<std::size_t>(MaterialClass::other)] = as_shown_before(value, *before, like.uncertainty);
        for (std::size_t m = 0; m < given.size(); ++m) {
            given[m] = std::min(given[m] * scale.step, beyond[m]);
            beyond[m] = std::max(beyond[m] - given[m], 0.0);
        }
        add(given);
    }
    add(beyond);
    return std::max(bits, 0.0);
}

}  // namespace

PerStep expected_information(const Belief& belief, const std::vector<Reading>& readings) {
    // Uncertainty of the readings of usual scans (assumed); neighbours shine into what is thin on MR.
    constexpr double ct_uncertainty = 12.0, mr_uncertainty = 0.08, dilution = 0.35, usual_mr_slice_mm = 3.0, fat_to_vitreous_on_t1 = 6.0;
    const auto has = [&](auto test) { return std::any_of(readings.begin(), readings.end(), test); };
    const auto of_kind = [&](EvidenceKind kind) { return has([&](const Reading& r) { return r.kind == kind; }); };
    double thickness = usual_mr_slice_mm;
    for (const Reading& r : readings)
        if (r.kind == EvidenceKind::section_thickness) thickness = r.value;
    const double shone_in = dilution * std::exp(-thickness / usual_mr_slice_mm);
    const double t1_uncertainty = std::hypot(mr_uncertainty, fat_to_vitreous_on_t1 * shone_in), t2_uncertainty = std::hypot(mr_uncertainty, shone_in);

    PerStep bits{};
    const auto set = [&](NextStep step, const Reading& like, Scale scale, const Reading* before = nullptr) {
        bits[static_cast<std::size_t>(step)] = mutual_information(belief, like, scale, before);
    };
    constexpr double usual_kvp = 120.0, low_kvp = 80.0, high_kvp = 140.0;
    if (!has(of_ct)) set(NextStep::ct, {EvidenceKind::ct_number, 0, 0.0, ct_uncertainty, usual_kvp}, hounsfield);
    if (!of_kind(EvidenceKind::t1_ratio)) set(NextStep::t1, {EvidenceKind::t1_ratio, 0, 0.0, t1_uncertainty}, ratio);
    if (!of_kind(EvidenceKind::t2_ratio)) set(NextStep::t2, {EvidenceKind::t2_ratio, 0, 0.0, t2_uncertainty}, ratio);
    // The energy that lies further from those at hand.
    double lowest = high_kvp, highest = low_kvp;
    for (const Reading& r : readings)
        if (of_ct(r)) lowest = std::min(lowest, r.kvp), highest = std::max(highest, r.kvp);
    const auto number = std::find_if(readings.begin(), readings.end(), [](const Reading& r) { return r.kind == EvidenceKind::ct_number; });
    if (number != readings.end() && highest - lowest < told_apart_kvp)
        set(NextStep::second_ct_energy, {EvidenceKind::ct_number, 0, 0.0, ct_uncertainty, lowest - low_kvp > high_kvp - highest ? low_kvp : high_kvp}, hounsfield, &*number);
    return bits;
}

}  // namespace perisclera
