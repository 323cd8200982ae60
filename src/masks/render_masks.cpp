// SPDX-License-Identifier: Apache-2.0
#include "perisclera/masks/render_masks.h"

#include <algorithm>
#include <cmath>

#include "perisclera/core/text.h"
#include "perisclera/masks/nifti.h"
#include "perisclera/masks/surface.h"
#include "perisclera/report/series_labels.h"

namespace perisclera::masks {

namespace {

constexpr double whole = 255.0;   ///< byte of a voxel that is filled

VoxelBytes bytes_of(const VoxelShares& shares) {
    VoxelBytes out{shares.first, shares.size, {}};
    out.value.reserve(shares.share.size());
    for (const float s : shares.share) out.value.push_back(static_cast<std::uint8_t>(std::lround(whole * std::clamp(static_cast<double>(s), 0.0, 1.0))));
    return out;
}

VoxelBytes bytes_of(const VoxelMask& mask) { return {mask.first, mask.size, mask.filled}; }

}  // namespace

std::vector<report::OutputFile> render_masks(const report::ReportModel& model) {
    const report::SeriesLabels labels = report::label_series(model);
    std::vector<report::OutputFile> files;
    for (const report::SegmentedSeries& series : model.segmented) {
        for (const report::Segment& segment : series.segments) {
            if (segment.kind != report::SegmentKind::element) continue;
            const std::string path = "masks/" + series.timepoint_id + "/" + segment.element_id + "-" + labels.at(series.series_uid) + "-";
            files.push_back({path + "occupancy.nii.gz", nifti_bytes(series.geometry, bytes_of(segment.shares), 1.0 / whole, say("masks.occupancy"))});
            files.push_back({path + "mask.nii.gz", nifti_bytes(series.geometry, bytes_of(segment.mask), 1.0, say("masks.mask"))});
            if (!segment.measured_here) continue;
            const Surface surface = surface_round(series.geometry, segment.shares);
            if (!surface.triangles.empty()) files.push_back({path + "surface.ply", ply_bytes(surface, say("masks.surface"))});
        }
    }
    return files;
}

}  // namespace perisclera::masks
