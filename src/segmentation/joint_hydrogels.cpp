// SPDX-License-Identifier: Apache-2.0
#include "perisclera/segmentation/jointly_seen.h"

#include <algorithm>

#include "hydrogel_look.h"
#include "joined_pieces.h"
#include "perisclera/segmentation/fellow_atlas.h"

namespace perisclera {

namespace {

/// Evidence times volume that is believed: of drawn eyes without hydrogel none showed more on its wall than 170, of hydrogels on CT and MR all more, and most far
/// more (seed 5 of tests/accuracy.sh).
constexpr double believed_mm3 = 200.0;

/// Cells that hydrogel explains far better than what is normal.
PolarMask unlike_normal(const HydrogelLook& look, const ColumnMask& opposite, std::vector<float>& evidence) {
    constexpr float least = 2.0f;
    PolarMask mask(PolarBlock::cell_count, 0);
    for (std::size_t i = 0; i < mask.size(); ++i) {
        if (!may_hold_element(PolarBlock::cell(i), opposite)) continue;
        evidence[i] = static_cast<float>(look.evidence(i));
        mask[i] = evidence[i] > least;
    }
    return mask;
}

bool lies_as_element(const PolarBlock& block, const RegionShape& shape, bool ct) {
    // Without CT, lids and gland could be fluid too: they lie farther out than the middle of an element of 8 mm.
    constexpr double least_mm3 = 40.0, starts_mm = 1.5, reaches_mm = 2.0, most_mean_mm = 4.0, foremost_mm = 6.0;
    const double arc = block.limbus_arc_mm(shape.mean_polar);
    return shape.volume_mm3 >= least_mm3 && shape.lowest_mm <= starts_mm && shape.highest_mm >= reaches_mm && (ct || shape.mean_height_mm <= most_mean_mm) && arc > foremost_mm && arc < hindmost_middle_mm;
}

/// CT is the sharpest, and tells best where fat begins; without it T2, on the thinnest slices. The end where the series do not serve: it takes CT and one of MR, or T1 and T2.
std::vector<JointChannel>::const_iterator sharpest(const std::vector<JointChannel>& channels) {
    const auto any = [&](auto&& what) { return std::find_if(channels.begin(), channels.end(), what); };
    const auto is_t1 = [](const JointChannel& c) { return !c.ct && !c.t2; };
    const auto is_t2 = [](const JointChannel& c) { return c.t2; };
    const auto ct = any([](const JointChannel& c) { return c.ct; });
    if (ct != channels.end()) return any(is_t1) == channels.end() && any(is_t2) == channels.end() ? channels.end() : ct;
    if (any(is_t1) == channels.end()) return channels.end();
    auto best = any(is_t2);
    for (auto c = best; c != channels.end(); ++c)
        if (c->t2 && c->own->block.slice_spacing_mm() < best->own->block.slice_spacing_mm()) best = c;
    return best;
}

}  // namespace

std::vector<EyeElement> hydrogels_seen_jointly(const std::vector<const EyeView*>& own, const std::vector<const EyeView*>& fellow, const std::vector<const FoundElement*>& known) {
    const std::vector<JointChannel> channels = joint_channels(own, fellow);
    const auto lead = sharpest(channels);
    if (lead == channels.end()) return {};
    const PolarBlock& block = lead->own->block;
    const FellowPlaces places(block, fellow[lead->view]->block);
    // On T1 and T2 alone what has less water shows what a mixture of muscle and fat does.
    const HydrogelLook look(channels, places, !lead->ct, lead->ct ? 0.35 : 0.75);
    std::vector<float> evidence(PolarBlock::cell_count, 0.0f);
    std::vector<EyeElement> seen;
    for (const auto& region : connected_regions(unlike_normal(look, columns_opposite(known), evidence))) {
        if (!lies_as_element(block, shape_of(block, region), lead->ct)) continue;
        double strength = 0.0;
        for (const std::size_t i : region) strength += static_cast<double>(evidence[i]) * block.cell_volume_mm3(PolarBlock::cell(i)) / believed_mm3;
        if (strength < 1.0) continue;
        seen.push_back(element_on(channels, *lead, region, grown_to_edges(channels, look, region), lead->ct ? Appearance::ct_mass : Appearance::t2_bright, strength));
        count_whole_where_hidden(block, seen.back().found, region, hidden_hydrogel_share);
    }
    return joined_pieces(std::move(seen), own, fellow, known);
}

}  // namespace perisclera
