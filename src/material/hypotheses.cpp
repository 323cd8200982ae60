// SPDX-License-Identifier: Apache-2.0
#include "hypotheses.h"

#include <cmath>

namespace perisclera {

namespace {

/// Normal about what was measured, with a share of anything in the range: the specimens measured were few and of other makes.
double about(double value, Expected measured) {
    constexpr double far_out = 0.15, range_in_spreads = 6.0;
    const double z = (value - measured.mean) / measured.spread;
    constexpr double top = 0.3989422804014327;
    return (1.0 - far_out) * top * std::exp(-0.5 * z * z) + far_out / range_in_spreads;
}

template <class State>
std::vector<Possible<State>> normalised(std::vector<Possible<State>> all) {
    double sum = 0.0;
    for (const auto& p : all) sum += p.share;
    for (auto& p : all) p.share /= sum;
    return all;
}

}  // namespace

const std::vector<Possible<SiliconeGrade>>& silicone_grades() {
    static const auto all = [] {
        constexpr double lowest = 65.0, highest = 335.0, step = 10.0;
        std::vector<Possible<SiliconeGrade>> out;
        for (double hu = lowest; hu <= highest; hu += step) out.push_back({{hu}, about(hu, solid_silicone_hu(120.0))});
        return normalised(std::move(out));
    }();
    return all;
}

const std::vector<Possible<SpongeDensity>>& sponge_densities() {
    static const auto all = [] {
        constexpr double lowest = -860.0, highest = -180.0, step = 20.0;
        std::vector<Possible<SpongeDensity>> out;
        for (double hu = lowest; hu <= highest; hu += step) out.push_back({{hu}, about(hu, sponge_hu())});
        return normalised(std::move(out));
    }();
    return all;
}

const std::vector<Possible<HydrogelState>>& hydrogel_states() {
    static const auto all = [] {
        constexpr int steps = 32;
        constexpr double firm_up_to = 0.35;
        const Expected density = hydrogel_dry_density();
        std::vector<Possible<HydrogelState>> out;
        int firm = 0;
        for (int k = 0; k <= steps; ++k) firm += least_water + (most_water - least_water) * k / steps <= firm_up_to;
        for (int k = 0; k <= steps; ++k) {
            const double water = least_water + (most_water - least_water) * k / steps;
            const bool is_firm = water <= firm_up_to;
            const double share = is_firm ? hydrogel_firm_share() / firm : (1.0 - hydrogel_firm_share()) / (steps + 1 - firm);
            // Of three values a quarter, a half and a quarter, 1.41 spreads apart, have the spread asked for.
            for (const int side : {-1, 0, 1})
                for (const int binding : hydrogel_bindings) {
                    // Half of the firm ones are as dark as rubber; the rest anything (assumed).
                    const double of_binding = binding == all_water_bound ? (is_firm ? 0.5 : 0.0) : (is_firm ? 0.5 : 1.0) / 3.0;
                    if (of_binding > 0.0) out.push_back({{water, density.mean + side * std::sqrt(2.0) * density.spread, binding}, share * of_binding * (side == 0 ? 0.5 : 0.25)});
                }
        }
        return normalised(std::move(out));
    }();
    return all;
}

}  // namespace perisclera
