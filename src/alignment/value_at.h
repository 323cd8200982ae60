// SPDX-License-Identifier: Apache-2.0
#pragma once
// What a grid shows at a place; not a number half a voxel beyond its middles and farther.
#include <limits>

#include "perisclera/image/voxel_grid.h"

namespace perisclera {

inline float value_at(const VoxelGrid& grid, PatientPoint p) {
    const VoxelPoint v = grid.geometry().to_voxel(p);
    const auto within = [](double index, int count) { return index >= -0.5 && index <= count - 0.5; };
    const auto n = grid.geometry().size();
    return within(v.x, n[0]) && within(v.y, n[1]) && within(v.z, n[2]) ? grid.sample(v) : std::numeric_limits<float>::quiet_NaN();
}

}  // namespace perisclera
