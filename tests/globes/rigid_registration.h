// SPDX-License-Identifier: Apache-2.0
#pragma once
// What a general toolkit offers for bringing two series together: one rigid transform between the whole volumes that makes their mutual information greatest
// (Mattes D et al., IEEE Trans Med Imaging 2003;22:120-128), as ITK has it ready. One thread, so that it can be repeated.
#include <optional>

#include "eye_mapping.h"
#include "perisclera/image/voxel_grid.h"

namespace perisclera::globes {

/// Started from the volumes' middles put on each other; three levels of resolution, 5 % of the voxels. Nothing where ITK gives up.
/// Precondition: the slices' step is perpendicular to the slices.
std::optional<Mapping> rigid_registration(const VoxelGrid& first, const VoxelGrid& second);

}  // namespace perisclera::globes
