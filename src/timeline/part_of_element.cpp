// SPDX-License-Identifier: Apache-2.0
#include "perisclera/timeline/part_of_element.h"

#include <algorithm>

#include "src/segmentation/columns.h"

namespace perisclera {

namespace {

ColumnMask columns_of(const FoundElement& element) {
    constexpr float half = 0.5f;
    float most = 0.0f;
    for (const ElementCell& c : element.cells) most = std::max(most, c.share);
    ColumnMask mask(column_count, 0);
    for (const ElementCell& c : element.cells) {
        const PolarCell at = PolarBlock::cell(c.index);
        if (c.share >= half * most) mask[column(at.clock, at.polar)] = 1;
    }
    return mask;
}

}  // namespace

double share_within(const FoundElement& part, const FoundElement& whole, Reach reach) {
    constexpr double cells_in_an_hour = PolarBlock::clock_count / 12.0, cell_mm = 0.4;   // along the meridian, about
    const ColumnMask own = columns_of(part), there = widened(columns_of(whole), static_cast<int>(reach.hours * cells_in_an_hour), static_cast<int>(reach.mm / cell_mm));
    std::size_t all = 0, within = 0;
    for (std::size_t i = 0; i < column_count; ++i)
        if (own[i]) ++all, within += there[i] != 0;
    return all == 0 ? 0.0 : static_cast<double>(within) / static_cast<double>(all);
}

}  // namespace perisclera
