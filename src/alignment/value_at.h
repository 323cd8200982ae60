// SPDX-License-Identifier: Apache-2.0
#pragma once
// What a grid shows at a place; not a number where it shows nothing.
#include <limits>

#include "perisclera/image/voxel_grid.h"

namespace perisclera {

inline float value_at(const VoxelGrid& grid, PatientPoint p) { return grid.geometry().contains(p) ? grid.sample(p) : std::numeric_limits<float>::quiet_NaN(); }

}  // namespace perisclera
