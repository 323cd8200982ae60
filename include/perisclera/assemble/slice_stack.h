// SPDX-License-Identifier: Apache-2.0
#pragma once
// Slices that form one volume: parallel, of equal size and spacing, at equal steps along a straight line that need not be
// perpendicular to them (gantry tilt). Order comes from positions alone (PS3.3 C.7.6.2.1.1). Gaps are never filled:
// a gap ends the volume, and where one side of it holds most of the slices that side is used alone.
#include <optional>
#include <string>
#include <vector>

#include "perisclera/core/result.h"
#include "perisclera/image/volume_geometry.h"
#include "perisclera/ingest/slice_header.h"

namespace perisclera {

class SliceStack {
public:
    /// Slices of one stack in any order (see split_into_stacks). `where` names the series. Identical copies of a slice are dropped with
    /// a note; telling them needs their pixels. Errors: too_few_slices, limit_reached, mixed_frame, overlapping_slices,
    /// same_uid_different_image, gap_in_stack, uneven_spacing, bad_position, and those of reading pixels.
    static Result<SliceStack> make(std::vector<SliceHeader> slices, const std::string& where);

    [[nodiscard]] const std::vector<SliceHeader>& slices() const { return slices_; }  ///< along row x column
    [[nodiscard]] const VolumeGeometry& geometry() const { return geometry_; }
    [[nodiscard]] const std::vector<std::string>& notes() const { return notes_; }    ///< in words
    /// gap_in_stack where slices are missing and only one side of the gap is kept.
    [[nodiscard]] const std::optional<Error>& cut() const { return cut_; }

private:
    SliceStack(std::vector<SliceHeader> slices, VolumeGeometry geometry, std::vector<std::string> notes, std::optional<Error> cut)
        : slices_(std::move(slices)), geometry_(geometry), notes_(std::move(notes)), cut_(std::move(cut)) {}
    std::vector<SliceHeader> slices_;
    VolumeGeometry geometry_;
    std::vector<std::string> notes_;
    std::optional<Error> cut_;
};

}  // namespace perisclera
