// SPDX-License-Identifier: Apache-2.0
#pragma once
// A scanner's view of the synthesised head: finely sampled (label_sampler), then CT (ct_scanner) or MR: the average over the pixel, mild coil
// shading, Rician noise.
#include "head_model.h"
#include "head_pose.h"
#include "perisclera/image/voxel_grid.h"

namespace perisclera::phantoms {

struct Scan {
    const Series& series;
    const HeadModel& head;
    const HeadPose& pose;
    const Appearance& appearance;
    double texture;         ///< strength of tissue unevenness
    std::uint64_t key;      ///< of the noise, its own for every series
    std::uint64_t texture_key;  ///< of the unevenness, the same for all series of a patient
};

/// HU or MR stored units. The result does not depend on `threads`.
VoxelGrid acquire(const Scan& scan, const VolumeGeometry& geometry, unsigned threads);

}  // namespace perisclera::phantoms
