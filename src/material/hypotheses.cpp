// SPDX-License-Identifier: Apache-2.0
#include "hypotheses.h"

#include <cmath>

namespace perisclera {

namespace {

/// Normal about what was measured, with a share of anything in the range: a fourteenth specimen after 13 lies beyond them once in 15 times (rule of succession).
double about(double value, Expected measured) {
    constexpr double far_out = 1.0 / 15.0, range_in_spreads = 6.0;
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
        constexpr double lowest = 65.0, highest = 335.0;
        std::vector<Possible<SiliconeGrade>> out;
        for (double hu = lowest; hu <= highest; hu += silicone_grade_step) out.push_back({{hu}, about(hu, solid_silicone_hu(120.0))});
        return normalised(std::move(out));
    }();
    return all;
}

const std::vector<Possible<SpongeDensity>>& sponge_densities() {
    static const auto all = [] {
        constexpr double lowest = -860.0, highest = -180.0;
        std::vector<Possible<SpongeDensity>> out;
        for (double hu = lowest; hu <= highest; hu += sponge_density_step) out.push_back({{hu}, sponge_frequency(hu)});
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
                    // Some of the firm ones are as dark as rubber; of the rest half as the gel that was measured, half anything (assumed).
                    constexpr double all_bound = 0.4, as_measured = 0.7, others = static_cast<double>(hydrogel_bindings.size()) - 2.0;
                    const double with_free_water = is_firm ? 1.0 - all_bound : 1.0;
                    const double of_binding = binding == all_water_bound ? 1.0 - with_free_water : with_free_water * (binding == binding_as_measured ? as_measured : (1.0 - as_measured) / others);
                    if (of_binding > 0.0) out.push_back({{water, density.mean + side * std::sqrt(2.0) * density.spread, binding}, share * of_binding * (side == 0 ? 0.5 : 0.25)});
                }
        }
        return normalised(std::move(out));
    }();
    return all;
}

std::vector<Possible<Imitation>> imitations(const PerLookAlike& kinds) {
    using enum Imitation::OnMr;
    std::vector<Possible<Imitation>> out;
    const auto add = [&](double share, Imitation what) { out.push_back({what, share * kinds[static_cast<std::size_t>(what.kind)]}); };
    constexpr double between_tissues = 15.0, between_fluids = 8.0;   // HU, assumed
    for (const Relaxing& tissue : soft_tissue_relaxing()) add(1.0 / 3.0, {LookAlike::soft_tissue, Expected{soft_tissue_hu().mean, between_tissues}, {}, signal, tissue});
    constexpr double of_oil = 0.3;
    for (const FluidLookAlike& fluid : fluid_look_alikes()) add((1.0 - of_oil) / 4.0, {LookAlike::fluid, Expected{fluid.hu, between_fluids}, {}, signal, fluid.relaxing});
    add(of_oil, {LookAlike::fluid, std::nullopt, {}, signal, silicone_oil_relaxing(), true});
    // Wood may be soaked.
    add(0.6, {LookAlike::airy, std::nullopt, wood_hu(), dark});
    add(0.4, {LookAlike::airy, std::nullopt, wood_hu(), anything});
    add(0.5, {LookAlike::dense, std::nullopt, plastic_hu(), dark});
    add(0.5, {LookAlike::dense, std::nullopt, {plastic_hu()[1], mineral_hu()}, dark});
    constexpr double lowest_hu = -950.0, highest_hu = 550.0;
    add(0.5, {LookAlike::unknown, std::nullopt, {lowest_hu, highest_hu}, anything});
    add(0.5, {LookAlike::unknown, Expected{35.0, 30.0}, {}, anything});
    return out;
}

}  // namespace perisclera
