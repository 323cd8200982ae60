// SPDX-License-Identifier: Apache-2.0
// The blur of a real series in its plane, measured at the edges that it shows.
#pragma once

#include <optional>

#include "perisclera/image/voxel_grid.h"

namespace perisclera::phantoms {

struct EdgeBlur {
    double sigma_mm;  ///< standard deviation in the plane, the pixel's own width left out
    int edges;        ///< from so many
};

/// Fits steps blurred by a Gaussian to the voxels about the steepest places within `reach_mm` of `centre` (skin, bone, walls of globe and sinuses) and takes
/// the median width of those that look like a step between two even sides. A surface that is not sharp itself widens it. None: fewer than 20 such places.
std::optional<EdgeBlur> measured_blur(const VoxelGrid& grid, PatientPoint centre, double reach_mm, double slice_thickness_mm);

}  // namespace perisclera::phantoms
