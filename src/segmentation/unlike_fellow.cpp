// SPDX-License-Identifier: Apache-2.0
#include "perisclera/segmentation/unlike_fellow.h"

#include <algorithm>

#include "candidate_regions.h"
#include "columns.h"
#include "perisclera/segmentation/element_fusion.h"
#include "perisclera/segmentation/fellow_atlas.h"

namespace perisclera {

namespace {

constexpr double degrees = 57.2958;

/// Cells that count: on the wall near the equator, clear of lids and muscle cone, and of where the fellow eye carries an element.
PolarMask cells_looked_at(const PolarBlock& block, const std::vector<const FoundElement*>& known) {
    constexpr double first_polar = 56.0, last_polar = 118.0, lowest_mm = 0.5, highest_mm = 5.0;
    const ColumnMask taken = columns_opposite(known);
    PolarMask mask(PolarBlock::cell_count, 0);
    for (std::size_t i = 0; i < mask.size(); ++i) {
        const PolarCell c = PolarBlock::cell(i);
        const double h = PolarBlock::height_mm(c.height), p = PolarBlock::polar_radians(c.polar) * degrees;
        mask[i] = block.inside(i) && h >= lowest_mm && h <= highest_mm && p > first_polar && p < last_polar && !taken[column(c.clock, c.polar)];
    }
    return mask;
}

/// Volume of the largest region that lies on the wall as an element does, mm3.
double largest_on_wall(const PolarBlock& block, const PolarMask& mask) {
    constexpr double lowest_mm = 2.0, mean_mm = 3.2, first_polar = 66.0, last_polar = 108.0;
    double most = 0.0;
    for (const auto& region : connected_regions(mask)) {
        const RegionShape s = shape_of(block, region);
        const double polar = s.mean_polar * degrees;
        if (s.lowest_mm <= lowest_mm && s.mean_height_mm <= mean_mm && polar >= first_polar && polar <= last_polar) most = std::max(most, s.volume_mm3);
    }
    return most;
}

bool t2_unlike(const PolarBlock& own, const PolarBlock& fellow, const PolarMask& looked_at) {
    constexpr float darker = 0.6f, brighter = 1.05f;
    constexpr double least_dark_mm3 = 80.0, least_bright_mm3 = 100.0;
    const std::vector<float>& smooth = own.smoothed();
    const std::vector<float> highest = highest_in_fellow(&fellow, 0.0f), lowest = lowest_in_fellow(fellow);
    const float fat = brighter * static_cast<float>(own.orbit_signal(0.75));
    PolarMask dark(PolarBlock::cell_count, 0), bright(PolarBlock::cell_count, 0);
    for (std::size_t i = 0; i < dark.size(); ++i) {
        dark[i] = looked_at[i] && smooth[i] < darker * lowest[i];
        bright[i] = looked_at[i] && smooth[i] > brighter * highest[i] && smooth[i] > fat;
    }
    return largest_on_wall(own, dark) >= least_dark_mm3 || largest_on_wall(own, bright) >= least_bright_mm3;
}

/// Soft tissue on CT with nothing else within a millimetre: no voxel mixed with fat.
PolarMask plain_soft_tissue(const PolarBlock& ct) {
    constexpr float lowest_hu = 20.0f, highest_hu = 130.0f;
    const std::vector<float>& smooth = ct.smoothed();
    PolarMask other(PolarBlock::cell_count, 0);
    for (std::size_t i = 0; i < other.size(); ++i) other[i] = !ct.inside(i) || smooth[i] <= lowest_hu || smooth[i] >= highest_hu;
    other = grown(std::move(other), 2);
    for (char& cell : other) cell = cell == 0;
    return other;
}

bool watery(const PolarBlock& ct, const PolarBlock& t2, const PolarBlock& fellow_ct, const PolarBlock& fellow_t2, const PolarMask& looked_at) {
    constexpr float above_soft = 1.4f;
    constexpr double least_mm3 = 50.0;
    constexpr std::size_t enough = 100;
    constexpr int spread = 3;  // the glands of two eyes lie this many cells apart
    const PolarMask soft = plain_soft_tissue(ct), fellow_soft = plain_soft_tissue(fellow_ct);
    const std::vector<float> &signal = t2.smoothed(), &fellow_signal = fellow_t2.smoothed();
    std::vector<float> usual;
    for (std::size_t i = 0; i < signal.size(); ++i)
        if (fellow_soft[PolarBlock::mirrored(i)] && looked_at[i]) usual.push_back(fellow_signal[PolarBlock::mirrored(i)]);
    if (usual.size() < enough) return false;
    const float least = above_soft * static_cast<float>(quantile(std::move(usual), 0.5));
    PolarMask normal(PolarBlock::cell_count, 0), unlike(PolarBlock::cell_count, 0);
    for (std::size_t i = 0; i < normal.size(); ++i) normal[i] = fellow_soft[PolarBlock::mirrored(i)] && fellow_signal[PolarBlock::mirrored(i)] > least;
    normal = grown(std::move(normal), spread);
    for (std::size_t i = 0; i < unlike.size(); ++i) unlike[i] = looked_at[i] && soft[i] && signal[i] > least && !normal[i];
    return largest_on_wall(ct, unlike) >= least_mm3;
}

}  // namespace

bool shows_tissue_unlike_fellow(const std::vector<const EyeView*>& own, const std::vector<const EyeView*>& fellow, const std::vector<const FoundElement*>& known) {
    for (std::size_t t2 = 0; t2 < own.size(); ++t2) {
        const auto settings = finder_settings(own[t2]->modality, own[t2]->role, own[t2]->kvp);
        // With suppressed fat all of the orbit is dark, and differs by coil as much as by tissue.
        if (!settings || !settings->t2_weighted || !settings->voids) continue;
        const PolarBlock &block = own[t2]->block, &other = fellow[t2]->block;
        const PolarMask looked_at = cells_looked_at(block, known);
        if (t2_unlike(block, other, looked_at)) return true;
        for (std::size_t ct = 0; ct < own.size(); ++ct)
            if (own[ct]->modality == Modality::ct && watery(own[ct]->block, block, fellow[ct]->block, other, looked_at)) return true;
    }
    return false;
}

}  // namespace perisclera
