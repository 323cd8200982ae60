// SPDX-License-Identifier: Apache-2.0
#include "whole_body.h"

namespace perisclera {

void take_whole_body(const BodySurroundings& around, Candidate& body) {
    // Assumed, in view of drawn hydrogels that were measured a third as thick as they are; bands and tires end within what is looked for.
    constexpr double clearly_bright_hu = 30.0, margin_hu = 8.0, brighter_hu = 60.0, lowest_mm = -2.5, highest_mm = 9.5, first_deg = 48.0, last_deg = 130.0, goes_on = 0.4;
    constexpr int farthest = 14;   // cells: 7 mm outwards
    constexpr double degrees = 57.2958;
    const std::vector<float>& smooth = around.block.smoothed();
    std::vector<float> values;
    PolarMask mask(PolarBlock::cell_count, 0);
    for (const std::size_t i : body.cells) values.push_back(smooth[i]), mask[i] = 1;
    const double own = quantile(std::move(values), 0.75), half = 0.5 * (own + around.soft_hu);
    if (own < around.soft_hu + clearly_bright_hu) return;
    const auto same = [&](std::size_t i) {
        const PolarCell c = PolarBlock::cell(i);
        const double h = PolarBlock::height_mm(c.height), p = PolarBlock::polar_radians(c.polar) * degrees;
        const auto v = static_cast<double>(smooth[i]);
        return !around.excluded[i] && around.block.inside(i) && h >= lowest_mm && h <= highest_mm && p >= first_deg && p <= last_deg && v > half && v < own + brighter_hu &&
               v > static_cast<double>(around.normal[i]) + margin_hu;
    };
    int tops = 0, open = 0;
    for (const std::size_t i : body.cells) {
        if (PolarBlock::cell(i).height + 2 >= PolarBlock::height_count || mask[i + 1]) continue;
        ++tops;
        open += same(i + 1) && same(i + 2);
    }
    if (open < goes_on * tops) return;
    const PolarMask whole = grown_where(std::move(mask), farthest, [&](std::size_t, std::size_t to) { return same(to); });
    body.cells.clear();
    for (std::size_t i = 0; i < whole.size(); ++i)
        if (whole[i]) body.cells.push_back(i);
}

}  // namespace perisclera
