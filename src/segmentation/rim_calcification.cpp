// SPDX-License-Identifier: Apache-2.0
#include "perisclera/segmentation/rim_calcification.h"

#include <algorithm>

#include "perisclera/physics/material_table.h"
#include "perisclera/segmentation/fellow_atlas.h"
#include "perisclera/segmentation/metal.h"
#include "polar_regions.h"

namespace perisclera {

namespace {

constexpr float filled_half = 0.5f;

PolarMask filled_by(const FoundElement& element) {
    PolarMask mask(PolarBlock::cell_count, 0);
    for (const ElementCell& c : element.cells) mask[c.index] = c.share >= filled_half;
    return mask;
}

/// Height index of the outer face in each column that the body fills; -1 elsewhere.
std::vector<int> outer_face(const PolarMask& filled) {
    std::vector<int> top(static_cast<std::size_t>(PolarBlock::clock_count) * PolarBlock::polar_count, -1);
    for (std::size_t i = 0; i < filled.size(); ++i)
        if (filled[i]) top[i / PolarBlock::height_count] = PolarBlock::cell(i).height;
    return top;
}

}  // namespace

bool shows_calcified_rim(const PolarBlock& ct, const PolarBlock& fellow, const FoundElement& element, const std::vector<const FoundElement*>& others,
                         double kvp) {
    const bool as_soft_tissue = element.edge_seen || is_mass(element.appearance) || element.appearance == Appearance::t2_bright;
    const auto metal = metal_round_globe(ct);
    if (!as_soft_tissue || (metal && !metal->empty()) || !serves_as_atlas(ct, fellow)) return false;
    // The densest of the measured rubbers shows 271 HU at 120 kV (table of materials); noise and hardened beams are allowed a tenth. Bone explains
    // what lies within 2 to 3 mm of where the fellow eye has it, or anything denser than soft tissue that it may have blurred to.
    const double factor = silicone_voltage_factor(kvp);
    const auto brighter_than_silicone = static_cast<float>(300.0 * factor), near_bone = static_cast<float>(150.0 * std::max(1.0, factor));
    constexpr double off_body_mm = 2.5, beside_other_mm = 2.0,
                     least_mm3 = 3.0;              // an outline's error and the blur; blur; more than noise leaves after smoothing
    constexpr int below_face = 3, above_face = 5;  // cells of half a millimetre
    const PolarMask filled = filled_by(element), reach = grown_by_mm(ct, filled, off_body_mm);
    PolarMask another(PolarBlock::cell_count, 0);
    for (const FoundElement* o : others) {
        const PolarMask there = filled_by(*o);
        for (std::size_t i = 0; i < another.size(); ++i) another[i] = another[i] || there[i];
    }
    another = grown_by_mm(ct, std::move(another), beside_other_mm);
    const std::vector<float> usual = highest_in_fellow(&fellow, -1000.0f);
    const std::vector<int> face = outer_face(filled);
    PolarMask bright(PolarBlock::cell_count, 0);
    for (std::size_t i = 0; i < bright.size(); ++i) bright[i] = ct.inside(i) && ct.smoothed()[i] > brighter_than_silicone;
    double at_face = 0.0;
    for (const std::vector<std::size_t>& patch : connected_regions(bright)) {
        if (std::any_of(patch.begin(), patch.end(), [&](std::size_t i) { return !reach[i] || another[i] || usual[i] > near_bone; })) continue;
        for (const std::size_t i : patch) {
            const PolarCell c = PolarBlock::cell(i);
            const int top = face[i / PolarBlock::height_count];
            if (top >= 0 && c.height >= top - below_face && c.height <= top + above_face) at_face += ct.cell_volume_mm3(c);
        }
    }
    return at_face >= least_mm3;
}

}  // namespace perisclera
