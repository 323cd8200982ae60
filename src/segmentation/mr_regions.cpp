// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "candidate_regions.h"

namespace perisclera {

namespace {

constexpr double degrees = 57.2958;

}  // namespace

std::vector<Candidate> t2_bright_regions(const PolarBlock& block, const PolarBlock* fellow) {
    const std::vector<float>& smooth = block.smoothed();
    const double vitreous = block.globe().interior_mean, orbit = block.orbit_signal(0.9);
    // Water-like: above anything in the orbit by a fair part of the way to vitreous.
    const double threshold = std::max(0.5 * vitreous, orbit + 0.3 * (vitreous - orbit));
    if (!(vitreous > 1.3 * orbit)) return {};  // no contrast between water and orbital tissue: nothing can be said
    // Where the fellow eye is nearly as bright (lacrimal gland, tears, nerve sheath), brightness means nothing short of vitreous itself.
    const std::vector<float> normal = highest_in_fellow(fellow, 0.0f);
    PolarMask mask(PolarBlock::cell_count, 0);
    for (std::size_t i = 0; i < mask.size(); ++i) {
        const PolarCell c = PolarBlock::cell(i);
        const double h = PolarBlock::height_mm(c.height), p = PolarBlock::polar_radians(c.polar) * degrees;
        // The globe's own edge is bright in both eyes: the fellow is asked only clear of the wall.
        if (h > 2.0 && static_cast<double>(smooth[i]) < std::min(static_cast<double>(normal[i]) + 0.12 * vitreous, 0.85 * vitreous)) continue;
        // Fluid of the optic nerve sheath lies behind; tears and anterior chamber in front.
        mask[i] = h >= 0.5 && p > 36.0 && p < 142.0 && static_cast<double>(smooth[i]) > threshold;
    }
    std::vector<Candidate> found;
    for (auto& region : connected_regions(mask)) {
        const RegionShape s = shape_of(block, region);
        if (s.volume_mm3 < 40.0 || s.touches_images_end || s.lowest_mm > 2.0 || s.highest_mm > 11.0 || s.mean_height_mm > 6.0) continue;
        double brightest = 0.0;
        for (const std::size_t i : region) brightest = std::max(brightest, static_cast<double>(smooth[i]));
        // The fluid round the optic nerve lies further back than any element.
        const double arc = block.limbus_arc_mm(s.mean_polar);
        if (arc > hindmost_middle_mm) continue;
        // All round and close behind the limbus lies the anterior chamber, where a long eye's surface is fitted too far back.
        constexpr double chamber_mm = 5.0;
        constexpr int nearly_all_round = 100;
        if (arc < chamber_mm && s.clock_columns >= nearly_all_round) continue;
        // A misplaced surface leaves a skin of vitreous: an element stands clear of the wall.
        if (s.highest_mm < 1.5) continue;
        found.push_back({std::move(region), brightest / threshold, false});
    }
    return found;
}

std::vector<Candidate> mr_void_regions(const PolarBlock& block, const std::vector<Candidate>& masses) {
    PolarMask displaced(PolarBlock::cell_count, 0);
    for (const Candidate& m : masses)
        for (const std::size_t i : m.cells) displaced[i] = 1;
    const std::vector<float>& smooth = block.smoothed();
    const double tissue = block.orbit_signal(0.3);
    // Vitreous itself is dark on T1: a void has less signal still.
    // Muscle is dark on T2: a void has less than the darkest tissue of the orbit.
    const double threshold = std::min({0.35 * tissue, 0.7 * block.globe().interior_mean, 0.75 * block.orbit_signal(0.1)});
    PolarMask mask(PolarBlock::cell_count, 0);
    for (std::size_t i = 0; i < mask.size(); ++i) {
        const PolarCell c = PolarBlock::cell(i);
        const double h = PolarBlock::height_mm(c.height), p = PolarBlock::polar_radians(c.polar) * degrees;
        mask[i] = h >= -3.0 && p > 40.0 && p < 140.0 && static_cast<double>(smooth[i]) < threshold;
    }
    std::vector<Candidate> found;
    for (auto& region : connected_regions(mask)) {
        const RegionShape s = shape_of(block, region);
        // Sclera and tendons are dark too, but thin; bone and air reach outwards.
        const double thickness = s.highest_mm - s.lowest_mm + PolarBlock::height_step_mm;
        if (s.touches_images_end || s.highest_mm > 8.0 || s.lowest_mm > 1.0 || s.mean_height_mm > 3.5) continue;
        // Where the fellow eye has fat the void itself may be small: blur leaves no more of a sponge between thick slices.
        const auto in_mass = std::count_if(region.begin(), region.end(), [&](std::size_t i) { return displaced[i] != 0; });
        const bool known = 2 * static_cast<std::size_t>(in_mass) > region.size();
        if (known ? s.volume_mm3 < 25.0 : s.volume_mm3 < 60.0 || thickness < 2.5) continue;
        found.push_back({std::move(region), 1.0 + s.volume_mm3 / 200.0, false});
    }
    return found;
}

}  // namespace perisclera
