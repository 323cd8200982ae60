// SPDX-License-Identifier: Apache-2.0
#include "perisclera/physics/material_table.h"

#include <algorithm>
#include <cmath>

namespace perisclera {

namespace {

/// Linear between the rows of a table of (argument, value), constant beyond its ends.
template <std::size_t N>
double interpolated(const std::array<std::array<double, 2>, N>& table, double x) {
    if (x <= table.front()[0]) return table.front()[1];
    for (std::size_t k = 1; k < N; ++k)
        if (x <= table[k][0]) return table[k - 1][1] + (table[k][1] - table[k - 1][1]) * (x - table[k - 1][0]) / (table[k][0] - table[k - 1][0]);
    return table.back()[1];
}

}  // namespace

double silicone_voltage_factor(double kvp) {
    constexpr std::array<std::array<double, 2>, 4> table{{{80.0, 261.0 / 165.0}, {100.0, 190.0 / 165.0}, {120.0, 1.0}, {140.0, 156.0 / 165.0}}};
    return interpolated(table, kvp);
}

Expected solid_silicone_hu(double kvp) { return {191.0 * silicone_voltage_factor(kvp), 45.0 * silicone_voltage_factor(kvp)}; }

Expected sponge_hu() { return {-530.0, 130.0}; }

Expected hydrogel_hu(double water_fraction) { return {10.0 + 170.0 * 0.965 * (1.0 - water_fraction), 12.0}; }

Expected hydrogel_t2_to_vitreous(double water_fraction) {
    constexpr std::array<std::array<double, 2>, 6> table{{{0.15, 0.02}, {0.50, 0.03}, {0.65, 0.20}, {0.75, 0.45}, {0.85, 0.80}, {0.95, 1.10}}};
    return {interpolated(table, water_fraction), 0.2};
}

Expected hydrogel_t1_to_vitreous(double water_fraction) {
    return {std::clamp(0.1 + 1.5 * (water_fraction - 0.15) / 0.4, 0.1, 1.6), 0.75};
}

Expected silicone_mr_to_vitreous() { return {0.05, 0.08}; }

Expected soft_tissue_hu() { return {45.0, 20.0}; }
Expected soft_tissue_t1_to_vitreous() { return {3.0, 0.9}; }
Expected soft_tissue_t2_to_vitreous() { return {0.20, 0.10}; }

Expected fluid_hu() { return {12.0, 10.0}; }
Expected fluid_t1_to_vitreous() { return {1.3, 0.5}; }
Expected fluid_t2_to_vitreous() { return {1.0, 0.2}; }

std::array<double, 2> wood_hu() { return {-618.0, 23.0}; }
std::array<double, 2> plastic_hu() { return {-115.0, 119.0}; }

}  // namespace perisclera
