// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "candidate_regions.h"

namespace perisclera {

namespace {

// Orbital fat ends near -130 HU; sponge cores lie at -390 to -740 HU (computed for foams of 0.24 to 0.56 g/cm3).
constexpr float darker_than_fat = -190.0f;
constexpr double core_at_least = -260.0;
// Air outside is joined to an exposed sponge at a mild threshold and parted from it at a stricter one.
constexpr float thresholds[] = {darker_than_fat, -300.0f, -450.0f};

bool is_body_on_the_globe(const RegionShape& s) {
    const double first_degrees = s.first_polar * 57.2958;
    return s.volume_mm3 >= 15.0 && !s.touches_images_end && s.highest_mm < 10.0 && s.lowest_mm <= 2.0 && s.mean_height_mm > -2.5 && s.mean_height_mm < 5.5 &&
           first_degrees > 32.0;
}

}  // namespace

std::vector<Candidate> ct_dark_regions(const PolarBlock& block) {
    const std::vector<float>& smooth = block.smoothed();
    std::vector<Candidate> found;
    PolarMask taken(PolarBlock::cell_count, 0);
    for (const float threshold : thresholds) {
        PolarMask mask(PolarBlock::cell_count, 0);
        for (std::size_t i = 0; i < mask.size(); ++i) mask[i] = smooth[i] < threshold && PolarBlock::height_mm(PolarBlock::cell(i).height) >= -4.0;
        for (auto& region : connected_regions(mask)) {
            if (std::any_of(region.begin(), region.end(), [&](std::size_t i) { return taken[i] != 0; })) continue;
            const RegionShape shape = shape_of(block, region);
            double darkest = 0.0;
            for (const std::size_t i : region) darkest = std::min(darkest, static_cast<double>(smooth[i]));
            if (darkest > core_at_least || !is_body_on_the_globe(shape)) continue;
            for (const std::size_t i : region) taken[i] = 1;
            found.push_back({std::move(region), darkest / core_at_least, false});
        }
    }
    return found;
}

}  // namespace perisclera
