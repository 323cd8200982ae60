// SPDX-License-Identifier: Apache-2.0
#pragma once
// A scanner's view of the synthesised head: CT (ct_scanner) or MR (mr_scanner), both of what lies in small cells over the slice's
// thickness (slice_profile).
#include "head_model.h"
#include "head_pose.h"
#include "perisclera/image/voxel_grid.h"

namespace perisclera::phantoms {

class LastField;

struct Scan {
    const Series& series;
    const HeadModel& head;
    const HeadPose& pose;
    const Appearance& appearance;
    double texture;         ///< strength of tissue unevenness
    std::uint64_t key;      ///< of the noise, its own for every series
    std::uint64_t texture_key;  ///< of the unevenness, the same for all series of a patient
    LastField* last_field = nullptr;  ///< of the same visit, where there is one
};

/// HU or MR stored units. The result does not depend on `threads`.
VoxelGrid acquire(const Scan& scan, const VolumeGeometry& geometry, unsigned threads);

}  // namespace perisclera::phantoms
