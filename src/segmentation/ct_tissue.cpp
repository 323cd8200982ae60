// SPDX-License-Identifier: Apache-2.0
#include "ct_tissue.h"

#include <algorithm>

namespace perisclera {

double soft_tissue_level(const PolarBlock& block, const PolarMask& bones) {
    constexpr double degrees = 57.2958;
    const std::vector<float>& smooth = block.smoothed();
    std::vector<float> soft;
    for (std::size_t i = 0; i < smooth.size(); i += 3) {
        const PolarCell c = PolarBlock::cell(i);
        const double h = PolarBlock::height_mm(c.height), p = PolarBlock::polar_radians(c.polar) * degrees;
        if (bones[i] || !block.inside(i) || h < 1.0 || h > 6.0 || p < 45.0 || p > 120.0) continue;
        if (smooth[i] > 10.0f && smooth[i] < 120.0f) soft.push_back(smooth[i]);
    }
    return soft.size() < 100 ? 55.0 : std::clamp(quantile(std::move(soft), 0.75), 45.0, 100.0);
}

PolarMask air_and_skin(const std::vector<float>& values) {
    PolarMask air(values.size(), 0);
    for (std::size_t i = 0; i < values.size(); ++i) air[i] = values[i] < -200.0f;
    return grown(std::move(air), 6);
}

}  // namespace perisclera
