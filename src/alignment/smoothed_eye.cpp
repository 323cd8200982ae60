// SPDX-License-Identifier: Apache-2.0
#include "smoothed_eye.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

namespace perisclera {

namespace {

VoxelGrid block_round(const EyeInSeries& eye) {
    constexpr double each_way_mm = 17.0;
    const VolumeGeometry& geometry = eye.grid.geometry();
    const VoxelPoint middle = geometry.to_voxel(eye.globe.frame.origin());
    const std::array<double, 3> at{middle.x, middle.y, middle.z};
    std::array<int, 3> first{}, size{};
    for (std::size_t k = 0; k < 3; ++k) {
        const double reach = each_way_mm / geometry.spacing_mm()[k];
        first[k] = std::clamp(static_cast<int>(std::floor(at[k] - reach)), 0, geometry.size()[k] - 1);
        size[k] = std::clamp(static_cast<int>(std::ceil(at[k] + reach)), first[k], geometry.size()[k] - 1) - first[k] + 1;
    }
    return eye.grid.sub_block(first, size);
}

/// Each voxel gives `share` of itself to either neighbour along one direction; those at the border keep what has nowhere to go.
void share_out(std::vector<float>& values, std::array<int, 3> size, std::size_t direction, float share) {
    const std::array<std::size_t, 3> n{static_cast<std::size_t>(size[0]), static_cast<std::size_t>(size[1]), static_cast<std::size_t>(size[2])};
    const std::size_t step = direction == 0 ? 1 : direction == 1 ? n[0] : n[0] * n[1];
    const std::vector<float> before = values;
    for (std::size_t i = 0; i < values.size(); ++i) {
        const std::size_t at = i / step % n[direction];
        const float low = before[at > 0 ? i - step : i], high = before[at + 1 < n[direction] ? i + step : i];
        values[i] = before[i] + share * (low + high - 2.0f * before[i]);
    }
}

}  // namespace

VoxelGrid smoothed_eye(const EyeInSeries& eye) {
    constexpr double blur_mm = 0.5, largest_share = 0.25;
    const VoxelGrid block = block_round(eye);
    std::vector<float> values = block.values();
    if (eye.modality == Modality::ct)
        for (float& v : values) v = std::clamp(v, -200.0f, 250.0f);
    for (std::size_t k = 0; k < 3; ++k) {
        // A step's variance is twice its share, in voxels.
        const double spacing = block.geometry().spacing_mm()[k], shares = 0.5 * blur_mm * blur_mm / (spacing * spacing);
        const int steps = static_cast<int>(std::ceil(shares / largest_share));
        for (int step = 0; step < steps; ++step) share_out(values, block.geometry().size(), k, static_cast<float>(shares / steps));
    }
    return VoxelGrid(block.geometry(), std::move(values));
}

}  // namespace perisclera
