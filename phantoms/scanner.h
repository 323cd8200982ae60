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

/// Do these two series of one visit differ only by how labels show, so that their slices are drawn at once? So do spin echoes of the same place that are
/// displaced alike; gradient echoes dephase by their own echo times.
bool drawn_together(const Scan& a, const Scan& b);

/// HU or MR stored units. The result does not depend on `threads`.
VoxelGrid acquire(const Scan& scan, const VolumeGeometry& geometry, unsigned threads);
/// The same of several; faster than one by one. Precondition: each is drawn_together with the first, or is the only one.
std::vector<VoxelGrid> acquire_together(const std::vector<Scan>& together, const VolumeGeometry& geometry, unsigned threads);

}  // namespace perisclera::phantoms
