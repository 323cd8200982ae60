// SPDX-License-Identifier: Apache-2.0
#pragma once
// What share of each voxel of a grid something fills. Kept as a box beyond which nothing is filled.
#include <array>
#include <vector>

namespace perisclera {

struct VoxelShares {
    std::array<int, 3> first{};   ///< the box's first voxel in the grid
    std::array<int, 3> size{};    ///< of the box; zeros where nothing is filled
    std::vector<float> share{};   ///< 0..1 for each voxel of the box, x fastest, then y, then z
};

}  // namespace perisclera
