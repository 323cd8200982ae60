// SPDX-License-Identifier: Apache-2.0
#pragma once
// The pieces that filled voxels make; two that share a face belong to one.
#include <cstddef>

#include "perisclera/image/voxel_mask.h"

namespace perisclera {

/// The mask without its pieces of fewer voxels than `least`; the same box.
VoxelMask pieces_of_at_least(std::size_t least, const VoxelMask& mask);

}  // namespace perisclera
