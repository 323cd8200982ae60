// SPDX-License-Identifier: Apache-2.0
#pragma once
// Which voxels of a used series an element or a globe fills, for objects that are filed beside the images and for masks.
// Positions are patient coordinates of that series, mm. No field holds text of the patient's data.
#include <string>
#include <vector>

#include "perisclera/assemble/image_series.h"
#include "perisclera/core/eye.h"
#include "perisclera/image/volume_geometry.h"
#include "perisclera/image/voxel_mask.h"
#include "perisclera/image/voxel_shares.h"

namespace perisclera::report {

enum class SegmentKind { element, globe };

struct Segment {
    SegmentKind kind;
    Eye eye;
    std::string element_id{};            ///< "R1"; empty for a globe
    VoxelMask mask{};                    ///< in the grid of the series; as many voxels as come nearest to the measured volume, those that are filled most
    VoxelShares shares{};                ///< of an element, in the same grid; adds up to the shares of the polar grid
    bool measured_here = false;          ///< of an element: on this series
};

struct SegmentedSeries {
    std::string timepoint_id;            ///< of ReportModel::timepoints
    std::string series_uid, study_uid, frame_of_reference_uid;   ///< the last may be empty
    Modality modality;
    VolumeGeometry geometry;
    std::vector<SourceSlice> slices;     ///< in the order of the geometry's
    std::vector<Segment> segments;       ///< elements in order of their names, then globes; an element on each series its visit aligned with the one it was measured on
};

}  // namespace perisclera::report
