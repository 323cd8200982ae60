// SPDX-License-Identifier: Apache-2.0
#pragma once
// The images round one eye, voxels finer than what tells tissues apart brought together with their neighbours: noise falls, and no voxel between places is lost.
#include "perisclera/alignment/eye_alignment.h"

namespace perisclera {

/// A cube about the globe; binomial steps along each direction of the grid that amount to a blur of 0.5 mm (standard deviation). CT is cut to what eyes are made of.
VoxelGrid smoothed_eye(const EyeInSeries& eye);

}  // namespace perisclera
