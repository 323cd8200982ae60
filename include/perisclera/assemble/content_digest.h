// SPDX-License-Identifier: Apache-2.0
#pragma once
// By what the images of a series are known again.
#include <string>

#include "perisclera/image/voxel_grid.h"

namespace perisclera {

/// "sha256:..." over where the voxels lie and what they hold. It depends on no compression, name or order of files.
std::string content_digest(const VoxelGrid& grid);

}  // namespace perisclera
