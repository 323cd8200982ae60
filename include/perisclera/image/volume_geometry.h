// SPDX-License-Identifier: Apache-2.0
#pragma once
// Where the voxels of a volume lie in the patient: the only voxel <-> patient conversion.
// A stack of equal parallel slices at equal steps. The step need not be perpendicular to the slices (gantry tilt), so
// a tilted CT is represented exactly. Source: DICOM PS3.3 C.7.6.2.1.1.
#include <array>

#include "perisclera/core/frames.h"
#include "perisclera/core/result.h"

namespace perisclera {

class VolumeGeometry {
public:
    /// origin: centre of voxel (0,0,0), LPS mm. row/column: unit vectors of increasing column/row index; they must be
    /// perpendicular within 1e-3. slice_step: from one slice to the next, mm, not in the slice plane; its component along
    /// row x column may have either sign. in_plane: spacing along the row and along the column, mm, > 0. size: columns, rows, slices, >= 1.
    /// Errors: bad_orientation, bad_spacing, bad_size.
    static Result<VolumeGeometry> make(PatientPoint origin, PatientVector row, PatientVector column, PatientVector slice_step,
                                       std::array<double, 2> in_plane, std::array<int, 3> size);

    [[nodiscard]] PatientPoint to_patient(VoxelPoint index) const {
        return origin_ + step_[0] * index.x + step_[1] * index.y + step_[2] * index.z;
    }
    [[nodiscard]] VoxelPoint to_voxel(PatientPoint point) const {
        const PatientVector d = point - origin_;
        return {dot(inverse_[0], d), dot(inverse_[1], d), dot(inverse_[2], d)};
    }
    /// Gradient of a function of voxel index as a patient vector, per mm.
    [[nodiscard]] PatientVector gradient_to_patient(Vector<VoxelIndex> g) const {
        return inverse_[0] * g.x + inverse_[1] * g.y + inverse_[2] * g.z;
    }
    [[nodiscard]] PatientVector row() const { return step_[0] / spacing_[0]; }
    [[nodiscard]] PatientVector column() const { return step_[1] / spacing_[1]; }
    [[nodiscard]] PatientVector normal() const { return normal_; }  ///< unit, row x column
    [[nodiscard]] PatientVector slice_step() const { return step_[2]; }
    [[nodiscard]] PatientPoint origin() const { return origin_; }
    /// Along row, along column, perpendicular distance between slices; mm.
    [[nodiscard]] std::array<double, 3> spacing_mm() const { return spacing_; }
    [[nodiscard]] std::array<int, 3> size() const { return size_; }
    [[nodiscard]] double voxel_volume_mm3() const { return spacing_[0] * spacing_[1] * spacing_[2]; }
    /// Is the point inside the block of voxel centres, grown by margin voxels?
    [[nodiscard]] bool contains(PatientPoint point, double margin_voxels = 0.5) const;
    /// The part of this grid from `first` on, `size` voxels (both must lie inside).
    [[nodiscard]] VolumeGeometry sub_block(std::array<int, 3> first, std::array<int, 3> size) const;

private:
    VolumeGeometry() = default;
    PatientPoint origin_{0, 0, 0};
    std::array<PatientVector, 3> step_{};
    std::array<PatientVector, 3> inverse_{};
    PatientVector normal_{0, 0, 0};
    std::array<double, 3> spacing_{};
    std::array<int, 3> size_{};
};

}  // namespace perisclera
