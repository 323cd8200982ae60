// SPDX-License-Identifier: Apache-2.0
#include "hydration.h"

#include <algorithm>
#include <cmath>

#include "material_likelihood.h"

namespace perisclera {

Measured<Fraction> water_of(const std::vector<double>& shares) {
    constexpr double tail = 0.025, half_step = 0.0125;
    const auto& states = hydrogel_states();
    double mean = 0.0, below = 0.0, low = least_water, high = most_water;
    // States are in the order of their water; those of one content stand for half a step to either side of it, evenly.
    for (std::size_t k = 0; k < states.size();) {
        const double water = states[k].state.water_fraction;
        double here = 0.0;
        for (; k < states.size() && states[k].state.water_fraction == water; ++k) here += shares[k];
        const double from = std::max(least_water, water - half_step), to = std::min(most_water, water + half_step);
        const auto holds = [&](double share) { return below <= share && share < below + here; };
        if (holds(tail)) low = std::lerp(from, to, (tail - below) / here);
        if (holds(1.0 - tail)) high = std::lerp(from, to, (1.0 - tail - below) / here);
        mean += here * water;
        below += here;
    }
    return {Fraction(mean), Fraction(std::min(low, mean)), Fraction(std::max(high, mean))};
}

std::vector<WaterByReading> water_by_reading(const std::vector<Reading>& readings) {
    std::vector<WaterByReading> out;
    for (const Reading& r : readings) {
        if (!of_mr(r) && r.kind != EvidenceKind::ct_number) continue;
        const std::vector<Expected> expected = shown(r, hydrogel_states());
        std::vector<double> shares;
        double sum = 0.0;
        for (std::size_t k = 0; k < expected.size(); ++k) sum += shares.emplace_back(hydrogel_states()[k].share * likelihood(r, MaterialClass::hydrogel, expected[k]));
        if (!(sum > 0.0)) continue;   // it fits no hydrogel at all
        for (double& s : shares) s /= sum;
        out.push_back({r.kind, r.series, water_of(shares)});
    }
    return out;
}

bool water_disagrees(const std::vector<Reading>& readings) {
    std::vector<double> distance(hydrogel_states().size(), 0.0);
    std::size_t told = 0;
    for (const Reading& r : readings) {
        if (r.by_place || (!of_mr(r) && r.kind != EvidenceKind::ct_number)) continue;
        ++told;
        const std::vector<Expected> expected = shown(r, hydrogel_states());
        for (std::size_t k = 0; k < distance.size(); ++k) {
            const double z = (r.value - expected[k].mean) / std::hypot(expected[k].spread, r.uncertainty);
            distance[k] += z * z;
        }
    }
    // Of chi-squared, one degree of freedom gone to the water: 99th percentiles of 1, 2, 3 and 4.
    constexpr std::array unusual{6.635, 9.210, 11.345, 13.277};
    if (told < 2) return false;
    return *std::min_element(distance.begin(), distance.end()) > unusual[std::min(told - 2, unusual.size() - 1)];
}

}  // namespace perisclera
