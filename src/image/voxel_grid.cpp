// SPDX-License-Identifier: Apache-2.0
#include "perisclera/image/voxel_grid.h"

#include <cassert>
#include <utility>

namespace perisclera {

VoxelGrid::VoxelGrid(VolumeGeometry geometry, std::vector<float> values) : geometry_(std::move(geometry)), values_(std::move(values)) {
    assert(values_.size() == static_cast<std::size_t>(geometry_.size()[0]) * static_cast<std::size_t>(geometry_.size()[1]) *
                                 static_cast<std::size_t>(geometry_.size()[2]));
}

float VoxelGrid::sample(VoxelPoint p) const {
    const auto n = geometry_.size();
    const auto split = [](double c, int count, int& low, float& fraction) {
        const double clamped = std::clamp(c, 0.0, static_cast<double>(count - 1));
        low = std::min(static_cast<int>(clamped), std::max(count - 2, 0));
        fraction = static_cast<float>(clamped - low);
    };
    int x = 0, y = 0, z = 0;
    float fx = 0, fy = 0, fz = 0;
    split(p.x, n[0], x, fx);
    split(p.y, n[1], y, fy);
    split(p.z, n[2], z, fz);
    const auto row = static_cast<std::size_t>(n[0]), slice = row * static_cast<std::size_t>(n[1]);
    const std::size_t next = x + 1 < n[0] ? 1 : 0, next_row = y + 1 < n[1] ? row : 0, next_slice = z + 1 < n[2] ? slice : 0;
    const float* from = values_.data() + offset(x, y, z);
    const auto along = [&](const float* v) { return v[0] * (1 - fx) + v[next] * fx; };
    const float low = along(from) * (1 - fy) + along(from + next_row) * fy;
    const float high = along(from + next_slice) * (1 - fy) + along(from + next_slice + next_row) * fy;
    return low * (1 - fz) + high * fz;
}

VoxelGrid VoxelGrid::sub_block(std::array<int, 3> first, std::array<int, 3> size) const {
    std::vector<float> block;
    block.reserve(static_cast<std::size_t>(size[0]) * static_cast<std::size_t>(size[1]) * static_cast<std::size_t>(size[2]));
    for (int z = 0; z < size[2]; ++z)
        for (int y = 0; y < size[1]; ++y) {
            const auto row = values_.begin() + static_cast<std::ptrdiff_t>(offset(first[0], first[1] + y, first[2] + z));
            block.insert(block.end(), row, row + size[0]);
        }
    return VoxelGrid(geometry_.sub_block(first, size), std::move(block));
}

}  // namespace perisclera
