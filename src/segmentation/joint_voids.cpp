// SPDX-License-Identifier: Apache-2.0
#include "joint_channels.h"
#include "perisclera/segmentation/fellow_atlas.h"
#include "perisclera/segmentation/jointly_seen.h"

namespace perisclera {

namespace {

/// How much darker a cell is than the darkest that is normal there, as a sum of squares over the series; noise and shading are this share of fat.
double darker_than_normal(const std::vector<JointChannel>& channels, const FellowPlaces& fellow, std::size_t i) {
    constexpr float shading_share = 0.05f;
    constexpr int height_reach = 1;   // the dark wall is no excuse further out
    double nearest = 1e9;
    const auto hold_against = [&](const auto& normal) {
        double sum = 0.0;
        for (std::size_t c = 0; c < channels.size(); ++c) {
            const float darker = (normal(channels[c]) - channels[c].value[i]) / (shading_share * channels[c].fat);
            if (!(darker <= 0.0f)) sum += static_cast<double>(darker * darker);  // not a number stays so, and is nearest to nothing
        }
        nearest = std::min(nearest, sum);
        return nearest > 0.0;
    };
    if (hold_against([](const JointChannel& c) { return c.muscle; })) fellow.look_near(i, height_reach, [&](std::size_t k) { return hold_against([k](const JointChannel& c) { return c.fellow[k]; }); });
    return nearest;
}

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
        // Among tissue nearly as dark nothing tells how much of a cell it fills: what stands out counts whole.
        constexpr double least_share = 0.5;
        if (volume_mm3(block, element.found) < least_share * shape.volume_mm3) {
            element.found.cells.clear();
            for (const std::size_t i : region) element.found.cells.push_back({i, 1.0f});
        }
        seen.push_back(std::move(element));
    }
    return seen;
}

}  // namespace perisclera
