// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "candidate_regions.h"

namespace perisclera {

namespace {

// Fat ends near -50 HU (generic tables: -120 to -50); muscle, gland and swollen hydrogel begin near 0.
constexpr float fat_at_most = -30.0f, soft_at_least = -5.0f, soft_at_most = 110.0f;
constexpr double degrees = 57.2958;

}  // namespace

std::vector<Candidate> ct_soft_regions(const PolarBlock& block, const PolarBlock* fellow) {
    if (fellow == nullptr) return {};
    const std::vector<float> smooth = block.smoothed(), normal = highest_in_fellow(fellow, 0.0f);
    const auto place = [](std::size_t i, double lowest) {
        const PolarCell c = PolarBlock::cell(i);
        const double h = PolarBlock::height_mm(c.height), p = PolarBlock::polar_radians(c.polar) * degrees;
        return h >= lowest && h <= 9.0 && p > 50.0 && p < 140.0;
    };
    PolarMask seeds(PolarBlock::cell_count, 0), soft(PolarBlock::cell_count, 0);
    for (std::size_t i = 0; i < soft.size(); ++i) {
        soft[i] = place(i, 0.0) && smooth[i] > soft_at_least && smooth[i] < soft_at_most;
        seeds[i] = soft[i] && place(i, 1.0) && normal[i] < fat_at_most;
    }
    std::vector<Candidate> found;
    for (const auto& seed : connected_regions(seeds)) {
        const RegionShape core = shape_of(block, seed);
        // Recti, obliques and lids of two eyes differ by less than this.
        if (core.volume_mm3 < 250.0 || core.touches_images_end || core.lowest_mm > 2.0 || core.highest_mm - core.lowest_mm < 4.0) continue;
        // The mass itself reaches a little further than where the fellow is surely fat.
        PolarMask near_seed(PolarBlock::cell_count, 0);
        for (const std::size_t i : seed) near_seed[i] = 1;
        near_seed = grown(std::move(near_seed), 4);
        std::vector<std::size_t> cells;
        for (std::size_t i = 0; i < soft.size(); ++i)
            if (near_seed[i] && soft[i]) cells.push_back(i);
        found.push_back({std::move(cells), 1.0 + core.volume_mm3 / 300.0, false});
    }
    return found;
}

}  // namespace perisclera
