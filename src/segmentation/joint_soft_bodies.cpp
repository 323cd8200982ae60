// SPDX-License-Identifier: Apache-2.0
// A hydrogel that has taken up some water shows on CT between soft tissue and silicone: too little to be told by its number alone, but neither muscle nor gland nor anything
// that the fellow eye shows near that place.
#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <optional>

#include "ct_tissue.h"
#include "joint_channels.h"
#include "joined_pieces.h"
#include "mass_support.h"
#include "perisclera/segmentation/fellow_atlas.h"
#include "perisclera/segmentation/jointly_seen.h"

namespace perisclera {

namespace {

/// What the fellow eye tells of how bright this eye's normal tissue may be.
class FellowTissue {
public:
    /// `bone`: of the fellow, left out.
    FellowTissue(const JointChannel& ct, const PolarBlock& own, const PolarBlock& fellow, const PolarMask& bone) : ct_(ct), places_(own, fellow), bone_(bone) {}

    /// How far a cell stands above the highest that the fellow shows near its place, in the gland's place above what a gland shows, HU; below 0 where that is not known.
    [[nodiscard]] float above(std::size_t i) const {
        constexpr int height_reach = 3;
        const float value = ct_.value[i];
        float highest = -1000.0f;
        places_.look_near(i, height_reach, [&](std::size_t k) {
            highest = std::isnan(ct_.fellow[k]) ? std::numeric_limits<float>::max() : std::max(highest, ct_.fellow[k]);
            return highest < value;
        });
        return value - (highest < value ? std::max(highest, gland(i)) : highest);
    }

private:
    /// Far below any tissue outside the gland's place.
    float gland(std::size_t i) const {
        constexpr float none = -1000.0f;
        constexpr double upper = 0.9;
        bool in_place = false;
        places_.look_in_gland_place(i, [&](std::size_t) {
            in_place = true;
            return false;
        });
        if (!in_place) return none;
        if (!gland_) {
            std::vector<float> values;
            places_.look_in_gland_place(i, [&](std::size_t k) {
                if (!bone_[k] && !std::isnan(ct_.fellow[k])) values.push_back(ct_.fellow[k]);
                return true;
            });
            gland_ = values.empty() ? none : static_cast<float>(quantile(std::move(values), upper));
        }
        return *gland_;
    }

    const JointChannel& ct_;
    const FellowPlaces places_;
    const PolarMask& bone_;
    mutable std::optional<float> gland_;
};

/// Bone, metal and air, and what the blur makes of soft tissue beside them.
PolarMask bone_and_air(const std::vector<float>& values) {
    constexpr float bone_hu = 250.0f;
    constexpr int blur_cells = 6;
    PolarMask bone(values.size(), 0), air = air_and_skin(values);
    for (std::size_t i = 0; i < bone.size(); ++i) bone[i] = values[i] > bone_hu;
    bone = grown(std::move(bone), blur_cells);
    for (std::size_t i = 0; i < bone.size(); ++i) bone[i] = bone[i] || air[i];
    return bone;
}

bool lies_as_element(const PolarBlock& block, const RegionShape& shape) {
    constexpr double starts_mm = 1.5, foremost_mm = 4.0;
    const double arc = block.limbus_arc_mm(shape.mean_polar);
    return shape.lowest_mm <= starts_mm && arc > foremost_mm && arc < hindmost_middle_mm;
}

/// What was found was kept clear of all that is like the fellow; given back as far as cells are nearer to it than to soft tissue, `brighter_than`. Ordered.
std::vector<std::size_t> grown_to_edges(const JointChannel& ct, const std::vector<std::size_t>& region, float brighter_than, const std::function<bool(std::size_t)>& may_be) {
    constexpr int farthest = 4;   // cells: 2 mm
    PolarMask body(PolarBlock::cell_count, 0);
    for (const std::size_t i : region) body[i] = 1;
    body = grown_where(std::move(body), farthest, [&](std::size_t, std::size_t to) { return ct.own->block.inside(to) && ct.value[to] > brighter_than && may_be(to); });
    std::vector<std::size_t> cells;
    for (std::size_t i = 0; i < body.size(); ++i)
        if (body[i]) cells.push_back(i);
    return cells;
}

}  // namespace

std::vector<EyeElement> soft_bodies_unlike_fellow(const std::vector<const EyeView*>& own, const std::vector<const EyeView*>& fellow, const std::vector<const FoundElement*>& known,
                                                  const std::vector<EyeElement>& found) {
    // In view of the drawn eyes of seeds 5 to 27 of tests/accuracy.sh and of two real heads: of 239 eyes without any element none showed more than 9, counting each cell by
    // its height over the fellow, 40 HU and more as whole.
    constexpr double believed_mm3 = 35.0, piece_mm3 = 12.0, whole_hu = 40.0;
    constexpr float above_soft_hu = 14.0f, above_fellow_hu = 12.0f, brightest_hu = 115.0f;
    std::vector<JointChannel> channels = joint_channels(own, fellow);
    // Between thicker slices a silicone tire is blurred to as little (1.9 mm in a real head's CT of 4 mm was).
    constexpr double thickest_slice_mm = 3.5;
    std::erase_if(channels, [](const JointChannel& c) { return !c.ct || c.own->block.largest_spacing_mm() > thickest_slice_mm; });
    if (channels.empty()) return {};
    std::stable_sort(channels.begin(), channels.end(), [](const JointChannel& a, const JointChannel& b) { return a.own->block.slice_spacing_mm() < b.own->block.slice_spacing_mm(); });
    channels.resize(1);
    const JointChannel& ct = channels.front();
    const PolarBlock &block = ct.own->block, &other = fellow[ct.view]->block;
    const PolarMask excluded = bone_and_air(ct.value);
    const PolarMask bone_of_fellow = bone_and_air(ct.fellow);
    const auto soft = static_cast<float>(std::min(soft_tissue_level(block, excluded), soft_tissue_level(other, bone_of_fellow)));
    const FellowTissue normal(ct, block, other, bone_of_fellow);
    const ColumnMask opposite = columns_opposite(known);
    std::vector<float> above(PolarBlock::cell_count, 0.0f);
    PolarMask mask(PolarBlock::cell_count, 0);
    for (std::size_t i = 0; i < mask.size(); ++i) {
        if (excluded[i] || !block.inside(i) || ct.value[i] < soft + above_soft_hu || !may_hold_element(PolarBlock::cell(i), opposite)) continue;
        above[i] = normal.above(i);
        mask[i] = above[i] > above_fellow_hu;
    }
    std::vector<EyeElement> seen;
    for (const auto& region : connected_regions(mask)) {
        if (!lies_as_element(block, shape_of(block, region))) continue;
        double evidence_mm3 = 0.0;
        std::vector<float> values;
        for (const std::size_t i : region) {
            evidence_mm3 += std::min(static_cast<double>(above[i]) / whole_hu, 1.0) * block.cell_volume_mm3(PolarBlock::cell(i));
            values.push_back(ct.value[i]);
        }
        const auto usual = static_cast<float>(quantile(std::move(values), 0.5));
        if (evidence_mm3 < piece_mm3 || usual > brightest_hu) continue;
        std::vector<std::size_t> cells = grown_to_edges(ct, region, 0.5f * (usual + soft), [&](std::size_t i) { return !excluded[i] && may_hold_element(PolarBlock::cell(i), opposite); });
        EyeElement element = element_on(channels, ct, region, std::move(cells), Appearance::ct_mass, evidence_mm3 / believed_mm3);
        if (std::none_of(found.begin(), found.end(), [&](const EyeElement& e) { return same_columns(e.found, element.found); })) seen.push_back(std::move(element));
    }
    const auto too_little = [](const EyeElement& e) { return e.found.strength < 1.0; };
    if (std::all_of(seen.begin(), seen.end(), too_little)) return {};
    seen = joined_pieces(std::move(seen), own, fellow, known);
    std::erase_if(seen, too_little);
    return seen;
}

}  // namespace perisclera
