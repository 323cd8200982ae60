// SPDX-License-Identifier: Apache-2.0
#include "joint_channels.h"
#include "perisclera/segmentation/fellow_atlas.h"
#include "perisclera/segmentation/jointly_seen.h"

namespace perisclera {

namespace {

bool lies_as_element(const PolarBlock& block, const RegionShape& shape) {
    // What is dark further back is bone, or the nerve's sheath. Of an element of 2 to 3 mm half lies in the dent that it makes.
    constexpr double least_mm3 = 15.0, starts_mm = 2.0, reaches_mm = 1.5, foremost_mm = 6.0, hindmost_mm = 14.5;
    const double arc = block.limbus_arc_mm(shape.mean_polar);
    return shape.volume_mm3 >= least_mm3 && shape.lowest_mm <= starts_mm && shape.highest_mm >= reaches_mm && arc > foremost_mm && arc < hindmost_mm;
}

}  // namespace

std::vector<EyeElement> voids_seen_jointly(const std::vector<const EyeView*>& own, const std::vector<const EyeView*>& fellow, const std::vector<const FoundElement*>& known) {
    std::vector<JointChannel> channels = joint_channels(own, fellow);
    std::erase_if(channels, [](const JointChannel& c) { return c.ct; });
    if (channels.size() < 2) return {};
    const auto lead = std::min_element(channels.begin(), channels.end(), [](const JointChannel& a, const JointChannel& b) {
        return std::pair(a.own->block.slice_spacing_mm(), a.t2) < std::pair(b.own->block.slice_spacing_mm(), b.t2);
    });
    const PolarBlock& block = lead->own->block;
    const FellowPlaces places(block, fellow[lead->view]->block);
    constexpr double least = 4.0, believed_mm3 = 150.0;   // of drawn eyes without silicone none showed as much on its wall (seed 5 of tests/accuracy.sh)
    std::vector<double> evidence(PolarBlock::cell_count, 0.0);
    const ColumnMask opposite = columns_opposite(known);
    PolarMask mask(PolarBlock::cell_count, 0);
    for (std::size_t i = 0; i < mask.size(); ++i) {
        const bool shown = std::all_of(channels.begin(), channels.end(), [&](const JointChannel& c) { return c.own->block.inside(i); });
        if (!shown || !may_hold_element(PolarBlock::cell(i), opposite)) continue;
        evidence[i] = darker_than_normal(channels, places, i);
        mask[i] = evidence[i] > least;
    }
    std::vector<EyeElement> seen;
    for (auto& region : connected_regions(mask)) {
        const RegionShape shape = shape_of(block, region);
        if (!lies_as_element(block, shape)) continue;
        double strength = 0.0;
        for (const std::size_t i : region) strength += evidence[i] * block.cell_volume_mm3(PolarBlock::cell(i)) / believed_mm3;
        if (strength < 1.0) continue;
        EyeElement element = element_on(channels, *lead, region, region, Appearance::mr_void, strength);
        count_whole_where_hidden(block, element.found, region, hidden_void_share);
        seen.push_back(std::move(element));
    }
    return seen;
}

}  // namespace perisclera
