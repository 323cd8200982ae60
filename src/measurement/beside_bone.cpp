// SPDX-License-Identifier: Apache-2.0
#include "beside_bone.h"

#include <algorithm>

#include "element_layout.h"

namespace perisclera {

namespace {

bool bone_in_column(const PolarBlock& ct, int clock, int polar, double highest_mm) {
    constexpr float bone_hu = 400.0f;   // no silicone is as bright (the reference table's solid silicone)
    for (int h = 0; h < PolarBlock::height_count; ++h) {
        const double mm = PolarBlock::height_mm(h);
        if (mm >= 0.0 && mm <= highest_mm && ct.value(PolarBlock::index(clock, polar, h)) > bone_hu) return true;
    }
    return false;
}

}  // namespace

double doubt_beside_bone(const PolarBlock& block, const FoundElement& element) {
    if (element.edge_seen || (element.appearance != Appearance::ct_dark && element.appearance != Appearance::ct_bright)) return 0.0;
    // From the errors of sponges and tires in drawn anatomies (seeds 22 and 24 of tests/accuracy.sh): in slices of 3 mm up to three quarters of an element that lies along bone were lost,
    // of others next to nothing, and in slices of a millimetre a tenth at most.
    constexpr double most = 0.45, thick_slice_mm = 3.0, third = 0.35, least_reach_mm = 1.0;
    const std::vector<double> thickness = lay_out(block, element).thickness;
    const double greatest = *std::max_element(thickness.begin(), thickness.end()), highest_mm = greatest + std::max(least_reach_mm, block.largest_spacing_mm());
    int columns = 0, beside = 0;
    for (int c = 0; c < PolarBlock::clock_count; ++c)
        for (int p = 0; p < PolarBlock::polar_count; ++p) {
            if (thickness[ElementLayout::column(c, p)] < third * greatest) continue;
            ++columns, beside += bone_in_column(block, c, p, highest_mm);
        }
    const double share = columns > 0 ? static_cast<double>(beside) / columns : 0.0;
    return most * share * share * std::min(1.0, block.largest_spacing_mm() / thick_slice_mm);
}

}  // namespace perisclera
