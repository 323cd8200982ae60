// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cmath>

#include "candidate_regions.h"
#include "ct_ring.h"
#include "ct_tissue.h"
#include "perisclera/physics/material_table.h"
#include "whole_body.h"

namespace perisclera {

namespace {

constexpr int hat_window = 27;  // 11 mm of arc: wider than any band or tire
constexpr double degrees = 57.2958;

/// Bone: what is joined to very bright cells away from the globe, and the blur round it.
PolarMask bone(const PolarBlock& block, double voltage_factor) {
    const std::vector<float>& smooth = block.smoothed();
    // No element reaches higher; what is joined to bone below the lower height is told apart later by how it lies on the wall. Between them a thick tire may touch bone:
    // there only what lies close to a cell as hard as bone is bone.
    constexpr double lowest_mm = 2.0, highest_element_mm = 4.5, close_mm = 2.0;
    const auto bright = static_cast<float>(150.0 * voltage_factor), hard_as_bone = static_cast<float>(350.0 * std::max(1.0, voltage_factor));
    PolarMask mask(PolarBlock::cell_count, 0);
    for (std::size_t i = 0; i < mask.size(); ++i) mask[i] = block.value(i) > bright && PolarBlock::height_mm(PolarBlock::cell(i).height) >= lowest_mm;
    PolarMask bones(PolarBlock::cell_count, 0);
    for (const auto& region : connected_regions(mask)) {
        const bool hard = std::any_of(region.begin(), region.end(), [&](std::size_t i) { return block.value(i) > hard_as_bone && PolarBlock::height_mm(PolarBlock::cell(i).height) >= highest_element_mm; });
        if (!hard) continue;
        PolarMask hard_cells(PolarBlock::cell_count, 0);
        for (const std::size_t i : region) hard_cells[i] = block.value(i) > hard_as_bone;
        const PolarMask close = grown_by_mm(block, std::move(hard_cells), close_mm);
        for (const std::size_t i : region) bones[i] = close[i] || PolarBlock::height_mm(PolarBlock::cell(i).height) >= highest_element_mm;
    }
    // An element brighter than the valley between it and the bone is not the bone's blur, which only falls off with distance.
    constexpr float noise_hu = 10.0f;
    return grown_where(std::move(bones), 4, [&](std::size_t from, std::size_t to) { return smooth[to] <= smooth[from] + noise_hu; });
}

/// Lids end at air; seen along the meridian they would stand out like a band. Air, and the blur beside it, counts as tissue.
std::vector<float> without_air(std::vector<float> values, const PolarMask& air) {
    for (std::size_t i = 0; i < values.size(); ++i)
        if (air[i]) values[i] = std::max(values[i], 90.0f);
    return values;
}

/// How far each cell stands above the darkest of what lies 2 to 5 mm further out. Lids, conjunctiva and tendons go on outwards;
/// an element on the sclera ends.
std::vector<float> radial_drop(const std::vector<float>& values) {
    constexpr int nearest = 4, farthest = 10;
    std::vector<float> drop(values.size(), 0.0f);
    for (std::size_t i = 0; i < values.size(); ++i) {
        const PolarCell c = PolarBlock::cell(i);
        float least = 1e30f;
        for (int k = nearest; k <= farthest && c.height + k < PolarBlock::height_count; ++k) least = std::min(least, values[i + static_cast<std::size_t>(k)]);
        if (least < 1e30f) drop[i] = values[i] - least;
    }
    return drop;
}

}  // namespace

std::vector<Candidate> ct_bright_regions(const PolarBlock& block, const PolarBlock* fellow, double kvp) {
    const std::vector<float> normal = highest_in_fellow(fellow, -1000.0f);
    const std::vector<float>& smooth = block.smoothed();
    const PolarMask skin = air_and_skin(smooth);
    PolarMask excluded = bone(block, silicone_voltage_factor(kvp));
    const std::vector<float> tissue = without_air(smooth, skin), drop = radial_drop(tissue);
    std::vector<float> hat = meridional_top_hat(tissue, hat_window);
    for (std::size_t i = 0; i < hat.size(); ++i) hat[i] = std::min(hat[i], drop[i]);
    for (std::size_t i = 0; i < excluded.size(); ++i) excluded[i] = excluded[i] || skin[i];
    const double soft = soft_tissue_level(block, excluded), factor = silicone_voltage_factor(kvp);
    // Across the meridian: above muscle and standing out; along it (radial elements): well above any soft tissue.
    const double seed = std::max(115.0, soft + 50.0), seed_hat = 40.0, seed_alone = std::max(115.0 * factor, soft + 60.0);
    const double reach = soft + 12.0, reach_hat = 22.0, reach_alone = std::max(90.0, soft + 35.0);
    PolarMask mask(PolarBlock::cell_count, 0), seeds(PolarBlock::cell_count, 0);
    for (std::size_t i = 0; i < mask.size(); ++i) {
        const double h = PolarBlock::height_mm(PolarBlock::cell(i).height), p = PolarBlock::polar_radians(PolarBlock::cell(i).polar) * degrees;
        // In front the lids lie on the globe; an element there is under them, on the sclera.
        const double highest = std::clamp(2.0 + (p - 60.0) / 6.0, 2.0, 4.5);
        if (excluded[i] || h < -2.5 || h > highest || p < 54.0 || p > 150.0) continue;
        const auto v = static_cast<double>(smooth[i]), t = static_cast<double>(hat[i]);
        // Beyond any soft tissue the fellow is not asked: both eyes may carry an element.
        const double margin = v > 140.0 * factor ? 1e9 : v - static_cast<double>(normal[i]);
        mask[i] = (v > reach && t > reach_hat) || (v > reach_alone && drop[i] > reach_hat);
        mask[i] = mask[i] && margin > 8.0;
        seeds[i] = (v > seed && t > seed_hat) || (v > seed_alone && drop[i] > seed_hat);
        seeds[i] = seeds[i] && margin > 22.0;
    }
    std::vector<Candidate> found;
    for (auto& region : connected_regions(mask)) {
        if (std::none_of(region.begin(), region.end(), [&](std::size_t i) { return seeds[i] != 0; })) continue;
        const RegionShape s = shape_of(block, region);
        const double arc = block.limbus_arc_mm(s.mean_polar);
        if (s.volume_mm3 < 12.0 || s.touches_images_end || s.mean_height_mm < -2.0 || s.mean_height_mm > 2.2 || s.lowest_mm > 0.0) continue;
        // Calcified plaques sit just in front of the horizontal recti, about 2 x 6 mm (Alorainy I, Neuroradiology 2000;42:145-148).
        if (arc < 5.5 && s.volume_mm3 < 40.0) continue;
        double brightest = 0.0;
        for (const std::size_t i : region) brightest = std::max(brightest, static_cast<double>(smooth[i]));
        found.push_back({std::move(region), brightest / seed, false});
    }
    if (auto ring = ct_ring({block, hat, excluded, std::max(55.0, soft + 5.0)}, found)) stand_for_pieces(std::move(*ring), found);
    if (found.empty()) return found;
    // A thick element is most of what lies round its own eye: then the other eye tells what soft tissue shows.
    const double usual = fellow != nullptr ? std::min(soft, soft_tissue_level(*fellow, bone(*fellow, factor))) : soft;
    for (Candidate& body : found) take_whole_body({block, normal, excluded, usual}, body);
    return found;
}

}  // namespace perisclera
