// SPDX-License-Identifier: Apache-2.0
#include "perisclera/physics/material_table.h"

#include <algorithm>
#include <cmath>

#include "perisclera/physics/attenuation.h"
#include "table_rows.h"

namespace perisclera {

namespace {

constexpr double measured_kvp = 120.0, ms_per_s = 1e3;

/// The share of silica that gives this CT number at an energy. Below that of pure rubber: none.
double silica_share_of(double hu, const CtNumbersAt& energy) {
    double low = 0.0, high = 0.6;
    for (int k = 0; k < 24; ++k) {
        const double middle = 0.5 * (low + high);
        (energy.silicone_rubber(middle) < hu ? low : high) = middle;
    }
    return low;
}

}  // namespace

std::string_view material_table_version() { return table_version(); }

// Rows that are asked for at every place of an image are looked up once.
double silicone_voltage_factor(double kvp) {
    static const Curve& factor = curve("silicone_voltage_factor");
    return interpolated(factor, kvp);
}

Expected solid_silicone_hu(double kvp) {
    static const Expected at_120 = row("solid_silicone_hu");
    return {at_120.mean * silicone_voltage_factor(kvp), at_120.spread * silicone_voltage_factor(kvp)};
}

ByComposition::ByComposition(double kvp)
    : at_measured_kvp_(std::abs(kvp - measured_kvp) < 0.5), measured_(effective_kev(measured_kvp)), here_(effective_kev(kvp)), softer_(effective_kev(kvp) - effective_kev_spread()) {}

Expected ByComposition::silicone_grade(double hu_at_120_kvp) const {
    // What the energy does to every rubber at 120 kV is in the spread that was measured.
    if (at_measured_kvp_) return {hu_at_120_kvp, 0.0};
    const double silica = silica_share_of(hu_at_120_kvp, measured_);
    const double here = here_.silicone_rubber(silica);
    return {hu_at_120_kvp + here - measured_.silicone_rubber(silica), softer_.silicone_rubber(silica) - here};
}

Expected ByComposition::hydrogel(double water_fraction, double dry_density) const {
    static const double of_fluid = row("hydrogel_fluid_hu").spread;
    const double mean = here_.hydrogel(water_fraction, dry_density);
    return {mean, std::hypot(softer_.hydrogel(water_fraction, dry_density) - mean, of_fluid)};
}

Expected sponge_hu() {
    static const Expected expected = row("sponge_hu");
    return expected;
}

double sponge_frequency(double hu) {
    const Curve& range = curve("sponge_hu_range");
    const double beyond = std::max(std::abs(hu - range[0][0]) - range[0][1], 0.0) / range[1][1];
    return std::exp(-0.5 * beyond * beyond);
}

double log_likely_number(bool sponge, double hu, double kvp) {
    constexpr double never = 1e-30;   // as good as
    if (sponge) return std::log(std::max(sponge_frequency(hu), never));
    const Expected solid = solid_silicone_hu(kvp);
    return -0.5 * std::pow((hu - solid.mean) / solid.spread, 2);
}

Expected hydrogel_hu(double water_fraction) {
    static const Expected fluid = row("hydrogel_fluid_hu"), polymer = row("hydrogel_hu_dry_end");
    return {fluid.mean + polymer.mean * (1.0 - water_fraction), polymer.spread};
}

Expected hydrogel_dry_density() { return row("hydrogel_density"); }
double hydrogel_firm_share() { return row("hydrogel_firm_share").mean; }

Expected hydrogel_t2_to_vitreous(double water_fraction) {
    static const Curve& by_water = curve("hydrogel_t2_to_vitreous");
    constexpr double spread = 0.2;
    return {interpolated(by_water, water_fraction), spread};
}

Relaxing vitreous_relaxing() { return {row("vitreous_t1").mean, row("vitreous_t2").mean, 1.0}; }

Relaxing hydrogel_relaxing(double water, int binding) {
    // Rates per second.
    const Relaxing free = vitreous_relaxing();
    const double free_t2_ms = row("hydrogel_free_t2").mean;
    const double polymer_to_water = (1.0 - water) / water;
    const auto rate = [&](const Curve& bound) { return bound[static_cast<std::size_t>(binding)][1] * polymer_to_water; };
    return {ms_per_s / (ms_per_s / free.t1_ms + rate(curve("hydrogel_bound_rate_1"))), ms_per_s / (ms_per_s / free_t2_ms + rate(curve("hydrogel_bound_rate_2"))), water};
}

std::array<Relaxing, 3> soft_tissue_relaxing() {
    const Curve& times = curve("soft_tissue_t1");
    std::array<Relaxing, 3> out{};
    for (std::size_t k = 0; k < out.size(); ++k) out[k] = {times[k][1], times[k][0], row("soft_tissue_proton_density").mean};
    return out;
}

Expected silicone_mr_to_vitreous(double echo_ms) {
    constexpr double short_echo_ms = 8.0;
    return row(echo_ms < short_echo_ms ? "silicone_mr_short_echo" : "silicone_mr_to_vitreous");
}

Expected soft_tissue_hu() { return row("soft_tissue_hu"); }

std::array<FluidLookAlike, 4> fluid_look_alikes() {
    const Curve &numbers = curve("fluid_hu"), &times = curve("fluid_t1");
    std::array<FluidLookAlike, 4> out{};
    for (std::size_t k = 0; k < out.size(); ++k) out[k] = {numbers[k][1], {times[k][1], times[k][0], 0.95}};
    return out;
}

Relaxing silicone_oil_relaxing() { return {curve("silicone_oil")[0][1], curve("silicone_oil")[0][0], row("soft_tissue_proton_density").mean}; }

std::array<double, 2> wood_hu() { return {row("wood_hu_lowest").mean, row("wood_hu_highest").mean}; }
std::array<double, 2> plastic_hu() { return {row("plastic_hu_lowest").mean, row("plastic_hu_highest").mean}; }
double mineral_hu() { return row("mineral_hu").mean; }

}  // namespace perisclera
