// SPDX-License-Identifier: Apache-2.0
#include "perisclera/segmentation/metal.h"

#include <algorithm>

namespace perisclera {

bool lies_beside_metal(const PolarBlock& ct, const FoundElement& element) {
    constexpr float least_hu = 2500.0f;
    constexpr double reach_mm = 15.0;
    const auto place = [](const PolarBlock& block, std::size_t i) {
        const PolarCell c = PolarBlock::cell(i);
        return block.patient_point(PolarBlock::clock_hours(c.clock), PolarBlock::polar_radians(c.polar), PolarBlock::height_mm(c.height));
    };
    std::vector<PatientPoint> metal;
    for (std::size_t i = 0; i < PolarBlock::cell_count; ++i)
        if (ct.inside(i) && ct.value(i) > least_hu) metal.push_back(place(ct, i));
    if (metal.empty()) return false;
    return std::any_of(element.cells.begin(), element.cells.end(), [&](const ElementCell& cell) {
        if (cell.share < 0.5f) return false;
        const PatientPoint here = place(ct, cell.index);
        return std::any_of(metal.begin(), metal.end(), [&](PatientPoint m) { return length(m - here) < reach_mm; });
    });
}

}  // namespace perisclera
