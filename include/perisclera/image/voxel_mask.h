// SPDX-License-Identifier: Apache-2.0
#pragma once
// Which voxels of a grid are filled. Kept as the box that holds them all; none outside of it is.
#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

namespace perisclera {

struct VoxelMask {
    std::array<int, 3> first{};          ///< the box's first voxel in the grid
    std::array<int, 3> size{};           ///< of the box; zeros where nothing is filled
    std::vector<std::uint8_t> filled{};  ///< 1 or 0 for each voxel of the box, x fastest, then y, then z

    [[nodiscard]] std::size_t count() const { return static_cast<std::size_t>(std::count(filled.begin(), filled.end(), std::uint8_t{1})); }
    /// Of a voxel of the grid.
    [[nodiscard]] bool at(int x, int y, int z) const {
        const std::array<int, 3> in{x - first[0], y - first[1], z - first[2]};
        for (std::size_t axis = 0; axis < 3; ++axis)
            if (in[axis] < 0 || in[axis] >= size[axis]) return false;
        return filled[static_cast<std::size_t>((in[2] * size[1] + in[1]) * size[0] + in[0])] != 0;
    }
};

}  // namespace perisclera
