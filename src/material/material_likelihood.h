// SPDX-License-Identifier: Apache-2.0
#pragma once
// How likely a reading is of each material, and of what may be mistaken for an explant. Hydrogel is a family over its water, `other` one over
// what imitates: their members are told apart by all readings together, so that what fits one series as fluid and another as muscle fits neither.
#include <array>
#include <cstddef>

#include "perisclera/material/material_opinion.h"

namespace perisclera {

/// Mass fractions of water, evenly spaced from that of the material as sold.
inline constexpr auto water_contents = [] {
    constexpr std::size_t steps = 33;
    std::array<double, steps> contents{};
    for (std::size_t k = 0; k < steps; ++k) contents[k] = 0.15 + 0.80 * static_cast<double>(k) / (steps - 1);
    return contents;
}();

/// `material`: solid silicone or sponge, as index into PerClass.
double explant_likelihood(const Reading& reading, std::size_t material);
double hydrogel_likelihood(const Reading& reading, double water_fraction);
double look_alike_likelihood(const Reading& reading, LookAlike kind);

/// Central 95 % of what each material shows, by MaterialClass; nothing where the reading is none of a signal.
std::array<std::optional<std::array<double, 2>>, 4> expected_ranges(const Reading& reading);

}  // namespace perisclera
