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

/// By cell, 0 where no element may lie.
std::vector<float> evidence_by_cell(const HydrogelLook& look, const ColumnMask& opposite) {
    std::vector<float> evidence(PolarBlock::cell_count, 0.0f);
    for (std::size_t i = 0; i < evidence.size(); ++i)
        if (may_hold_element(PolarBlock::cell(i), opposite)) evidence[i] = static_cast<float>(look.evidence(i));
    return evidence;
}

/// Of cells that hydrogel explains better than what is normal by more than `least`.
std::vector<std::vector<std::size_t>> regions_above(const std::vector<float>& evidence, float least) {
    PolarMask mask(PolarBlock::cell_count, 0);
    for (std::size_t i = 0; i < mask.size(); ++i) mask[i] = evidence[i] > least;
    return connected_regions(mask);
}

/// As FoundElement's.
double strength_of(const PolarBlock& block, const std::vector<float>& evidence, const std::vector<std::size_t>& region) {
    double strength = 0.0;
    for (const std::size_t i : region) strength += static_cast<double>(evidence[i]) * block.cell_volume_mm3(PolarBlock::cell(i)) / believed_mm3;
    return strength;
}

/// The lowest height index of each column; PolarBlock::height_count where the region has none.
std::vector<int> lowest_by_column(const std::vector<std::size_t>& region) {
    std::vector<int> lowest(column_count, PolarBlock::height_count);
    for (const std::size_t i : region) {
        const PolarCell at = PolarBlock::cell(i);
        int& here = lowest[column(at.clock, at.polar)];
        here = std::min(here, at.height);
    }
    return lowest;
}

/// Does it lie on the wall? Close to it the vitreous' own brightness hides what lies there on T2: then what lies beneath must be able to be the same, under nearly all of it
/// (96 in 100 columns and more of two bodies in a real head; 73 where fat on T2 lay over a lid on CT, the eye having turned in between).
bool lies_on_wall(const std::vector<JointChannel>& channels, const HydrogelLook& look, const RegionShape& shape, const std::vector<std::size_t>& region) {
    constexpr double starts_mm = 1.5, still_likely = 9.0, nearly_all = 0.9;
    if (shape.lowest_mm <= starts_mm) return true;
    const JointSignals own = usual_signals(channels, region);
    const std::vector<int> lowest = lowest_by_column(region);
    int columns = 0, reaching = 0;
    for (std::size_t k = 0; k < column_count; ++k) {
        if (lowest[k] == PolarBlock::height_count) continue;
        ++columns;
        const ColumnAt at = column_at(k);
        int height = lowest[k] - 1;
        while (PolarBlock::height_mm(height) >= starts_mm && look.apart(PolarBlock::index(at.clock, at.polar, height), own) <= still_likely) --height;
        reaching += PolarBlock::height_mm(height) < starts_mm;
    }
    return reaching >= nearly_all * columns;
}

bool lies_where_elements_do(const PolarBlock& block, const RegionShape& shape) {
    constexpr double foremost_mm = 6.0;
    const double arc = block.limbus_arc_mm(shape.mean_polar);
    return arc > foremost_mm && arc < hindmost_middle_mm;
}

/// Do most of its columns begin at the wall? Of ten drawn hydrogels and three in a real head 73 in 100 and more did, of one seen in part 49, of the one lid or gland taken for
/// fluid 20.
bool stands_on_wall(const std::vector<std::size_t>& region) {
    constexpr double begins_mm = 2.0, most = 0.5;
    int columns = 0, standing = 0;
    for (const int height : lowest_by_column(region)) {
        if (height == PolarBlock::height_count) continue;
        ++columns;
        standing += PolarBlock::height_mm(height) <= begins_mm;
    }
    return standing >= most * columns;
}

bool lies_as_element(const PolarBlock& block, const RegionShape& shape, const std::vector<std::size_t>& region, bool ct) {
    constexpr double reaches_mm = 2.0, most_mean_mm = 4.0;
    if (shape.highest_mm < reaches_mm || !lies_where_elements_do(block, shape)) return false;
    // Without CT, lids and gland could be fluid too: they lie farther out than the middle of an element of 8 mm. One still thicker stands on the wall, and ends.
    return ct || shape.mean_height_mm <= most_mean_mm || (stands_on_wall(region) && shape.highest_mm < highest_held_mm);
}

/// Too little to be believed, too much to say that nothing is there: of free eyes of a real head (five poses of the cases') none showed more than 0.4; a hydrogel of two
/// thirds water and 7 mm put into it, which looks like muscle, 0.9.
double doubtful(const PolarBlock& block, const std::vector<float>& evidence) {
    constexpr float least = 1.0f;
    constexpr double least_strength = 0.5;
    double most = 0.0;
    for (const auto& region : regions_above(evidence, least))
        if (lies_where_elements_do(block, shape_of(block, region))) most = std::max(most, strength_of(block, evidence, region));
    return most >= least_strength ? most : 0.0;
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

SeenJointly hydrogels_seen_jointly(const std::vector<const EyeView*>& own, const std::vector<const EyeView*>& fellow, const std::vector<const FoundElement*>& known) {
    const std::vector<JointChannel> channels = joint_channels(own, fellow);
    const auto lead = sharpest(channels);
    if (lead == channels.end()) return {};
    const PolarBlock& block = lead->own->block;
    const FellowPlaces places(block, fellow[lead->view]->block);
    // On T1 and T2 alone what has less water shows what a mixture of muscle and fat does.
    const HydrogelLook look(channels, places, !lead->ct, lead->ct ? 0.35 : 0.75);
    const std::vector<float> evidence = evidence_by_cell(look, columns_opposite(known));
    constexpr float least = 2.0f;
    constexpr double least_mm3 = 40.0;
    SeenJointly seen;
    for (const auto& region : regions_above(evidence, least)) {
        const RegionShape shape = shape_of(block, region);
        const double strength = strength_of(block, evidence, region);
        if (shape.volume_mm3 < least_mm3 || strength < 1.0 || !lies_as_element(block, shape, region, lead->ct) || !lies_on_wall(channels, look, shape, region)) continue;
        seen.elements.push_back(element_on(channels, *lead, region, grown_to_edges(channels, look, region), lead->ct ? Appearance::ct_mass : Appearance::t2_bright, strength));
        count_whole_where_hidden(block, seen.elements.back().found, region, hidden_hydrogel_share);
    }
    if (seen.elements.empty()) seen.unexplained = doubtful(block, evidence);
    seen.elements = joined_pieces(std::move(seen.elements), own, fellow, known);
    return seen;
}

}  // namespace perisclera
