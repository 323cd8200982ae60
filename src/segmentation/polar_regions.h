// SPDX-License-Identifier: Apache-2.0
#pragma once
// Connected regions, dilation and backgrounds in the polar grid.
#include <functional>
#include <vector>

#include "perisclera/alignment/polar_block.h"
#include "perisclera/core/quantile.h"

namespace perisclera {

using PolarMask = std::vector<char>;  ///< one entry per cell, 0 or 1

/// Calls visit(index) for the six neighbours of a cell (the clock is cyclic).
template <class Visit>
void for_each_neighbour(std::size_t i, Visit&& visit) {
    const PolarCell c = PolarBlock::cell(i);
    constexpr int n = PolarBlock::clock_count;
    visit(PolarBlock::index((c.clock + 1) % n, c.polar, c.height));
    visit(PolarBlock::index((c.clock + n - 1) % n, c.polar, c.height));
    if (c.polar > 0) visit(PolarBlock::index(c.clock, c.polar - 1, c.height));
    if (c.polar + 1 < PolarBlock::polar_count) visit(PolarBlock::index(c.clock, c.polar + 1, c.height));
    if (c.height > 0) visit(PolarBlock::index(c.clock, c.polar, c.height - 1));
    if (c.height + 1 < PolarBlock::height_count) visit(PolarBlock::index(c.clock, c.polar, c.height + 1));
}

/// Regions of touching cells, each ordered by index, in order of their first cell.
std::vector<std::vector<std::size_t>> connected_regions(const PolarMask& mask);

/// The mask grown by `rounds` cells, each time from a cell of it to a neighbour where allowed(from, to).
template <class Allowed>
PolarMask grown_where(PolarMask mask, int rounds, Allowed&& allowed) {
    for (int round = 0; round < rounds; ++round) {
        PolarMask next = mask;
        for (std::size_t i = 0; i < mask.size(); ++i)
            if (mask[i])
                for_each_neighbour(i, [&](std::size_t k) {
                    if (allowed(i, k)) next[k] = 1;
                });
        mask = std::move(next);
    }
    return mask;
}

/// The mask grown by `rounds` cells.
PolarMask grown(PolarMask mask, int rounds);

/// The mask grown by a distance in mm along clock, meridian and height.
PolarMask grown_by_mm(const PolarBlock& block, PolarMask mask, double distance_mm);

/// What would be there without the element: for each clock position and height the line between the medians of the cells just in front of and
/// just behind the excluded ones. Only values within [lowest, highest] count as background (air beside a lid or bone beside the wall would
/// bias it); where neither side has any, the column's nearest background is taken along the clock. Cells that are not excluded keep their value.
std::vector<float> flank_background(const PolarBlock& block, const PolarMask& excluded, double lowest, double highest);

/// What would be there without the element, from all sides: each excluded cell takes on what lies nearest to it, wave by wave inwards. For bodies
/// thicker than the blur; values outside [lowest, highest] and cells marked in `ignored` say nothing.
std::vector<float> nearest_background(const PolarBlock& block, const PolarMask& excluded, const PolarMask& ignored, double lowest, double highest);

/// The highest that the mirrored fellow eye shows within 2 to 3 mm of each cell (two eyes are never quite alike): what is normal in this
/// patient. `missing` everywhere where there is no fellow.
std::vector<float> highest_in_fellow(const PolarBlock* fellow, float missing);
/// The lowest, likewise.
std::vector<float> lowest_in_fellow(const PolarBlock& fellow);

/// What a region of the grid looks like as a body.
struct RegionShape {
    double volume_mm3 = 0.0;
    double lowest_mm = 0.0, highest_mm = 0.0, mean_height_mm = 0.0;
    double mean_polar = 0.0, first_polar = 0.0, last_polar = 0.0;
    int clock_columns = 0;        ///< clock positions touched, of 120
    bool touches_images_end = false;
};
RegionShape shape_of(const PolarBlock& block, const std::vector<std::size_t>& region);

}  // namespace perisclera
