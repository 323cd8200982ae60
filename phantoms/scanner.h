// SPDX-License-Identifier: Apache-2.0
#pragma once
// A scanner's view of the synthesised head: finely sampled, blurred in the plane and through the slice, with noise.
// CT: Gaussian blur (full width at half maximum 1.2 mm soft, 0.6 mm bone kernel), noise filtered like the image.
// MR: mr_scanner. Slice profile: a box of the slice thickness, softened.
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

/// Standard deviation of the CT kernel's blur, mm.
double kernel_sigma_mm(Kernel kernel);

}  // namespace perisclera::phantoms
