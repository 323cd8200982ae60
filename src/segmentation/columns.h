// SPDX-License-Identifier: Apache-2.0
#pragma once
// Columns of the polar grid (one for each clock position and polar angle) as a plane: masks, widening, connected parts.
#include <vector>

#include "perisclera/alignment/polar_block.h"

namespace perisclera {

inline constexpr std::size_t column_count = static_cast<std::size_t>(PolarBlock::clock_count) * PolarBlock::polar_count;

[[nodiscard]] inline std::size_t column(int clock, int polar) {
    return static_cast<std::size_t>(clock) * PolarBlock::polar_count + static_cast<std::size_t>(polar);
}

struct ColumnAt {
    int clock, polar;
};
[[nodiscard]] inline ColumnAt column_at(std::size_t i) { return {static_cast<int>(i) / PolarBlock::polar_count, static_cast<int>(i) % PolarBlock::polar_count}; }

using ColumnMask = std::vector<char>;  ///< column_count entries, 0 or 1

/// All columns within the reach along the clock (cyclic) and the meridian of one in the mask.
ColumnMask widened(const ColumnMask& mask, int clock_reach, int polar_reach);
/// All columns whose whole neighbourhood of that reach is in the mask (beyond the grid counts as in).
ColumnMask narrowed(const ColumnMask& mask, int clock_reach, int polar_reach);
/// Parts that touch along clock or meridian, each ordered.
std::vector<std::vector<std::size_t>> connected_columns(const ColumnMask& mask);

}  // namespace perisclera
