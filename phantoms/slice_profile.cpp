// SPDX-License-Identifier: Apache-2.0
#include "slice_profile.h"

#include <algorithm>
#include <cmath>

namespace perisclera::phantoms {

std::vector<SliceDepth> slice_profile(double thickness_mm, int group) {
    constexpr double step_mm = 0.35;
    const double soft = std::min(0.15 * thickness_mm, 0.3);
    const double reach = thickness_mm / 2.0 + 2.0 * soft;
    const int needed = std::max(4, static_cast<int>(std::ceil(2.0 * reach / step_mm))), count = (needed + group - 1) / group * group;
    std::vector<SliceDepth> depths;
    double sum = 0.0;
    for (int i = 0; i < count; ++i) {
        const double z = reach * ((2.0 * i + 1.0) / count - 1.0);
        const double weight = std::erf((thickness_mm / 2.0 - z) / (std::sqrt(2.0) * soft)) + std::erf((thickness_mm / 2.0 + z) / (std::sqrt(2.0) * soft));
        depths.push_back({z, weight});
        sum += weight;
    }
    for (SliceDepth& d : depths) d.weight /= sum;
    return depths;
}

}  // namespace perisclera::phantoms
