// SPDX-License-Identifier: Apache-2.0
#include "perisclera/image/volume_geometry.h"

namespace perisclera {

namespace {

// Header directions carry six or so decimals; a millirad of skew moves a voxel 0.3 mm at the far end of a head.
constexpr double direction_tolerance = 1e-3;

bool finite(PatientVector v) { return std::isfinite(v.x) && std::isfinite(v.y) && std::isfinite(v.z); }

Error bad(ErrorCode code, const char* what) {
    return Error{code, what, "volume geometry", "export the series again from the archive"};
}

}  // namespace

Result<VolumeGeometry> VolumeGeometry::make(PatientPoint origin, PatientVector row, PatientVector column, PatientVector slice_step,
                                            std::array<double, 2> in_plane, std::array<int, 3> size) {
    if (!finite({origin.x, origin.y, origin.z})) return bad(ErrorCode::bad_position, "position is not a number");
    if (!finite(row) || !finite(column) || std::abs(length(row) - 1.0) > direction_tolerance || std::abs(length(column) - 1.0) > direction_tolerance ||
        std::abs(dot(row, column)) > direction_tolerance)
        return bad(ErrorCode::bad_orientation, "row and column directions are not perpendicular unit vectors");
    for (const double s : in_plane)
        if (!(s > 0.0) || !std::isfinite(s)) return bad(ErrorCode::bad_spacing, "pixel spacing is not a positive number");
    for (const int n : size)
        if (n < 1) return bad(ErrorCode::bad_size, "volume has no voxels");
    row = unit(row);
    column = unit(column - row * dot(row, column));
    const PatientVector normal = cross(row, column);
    const double gap = std::abs(dot(slice_step, normal));
    if (!finite(slice_step) || !(gap > 1e-3)) return bad(ErrorCode::bad_spacing, "slices do not advance");

    VolumeGeometry g;
    g.origin_ = origin;
    g.step_ = {row * in_plane[0], column * in_plane[1], slice_step};
    g.normal_ = normal;
    g.spacing_ = {in_plane[0], in_plane[1], gap};
    g.size_ = size;
    const double volume = dot(g.step_[0], cross(g.step_[1], g.step_[2]));
    g.inverse_ = {cross(g.step_[1], g.step_[2]) / volume, cross(g.step_[2], g.step_[0]) / volume, cross(g.step_[0], g.step_[1]) / volume};
    return g;
}

bool VolumeGeometry::contains(PatientPoint point, double margin_voxels) const {
    const VoxelPoint v = to_voxel(point);
    const std::array<double, 3> c{v.x, v.y, v.z};
    for (std::size_t a = 0; a < 3; ++a)
        if (c[a] < -margin_voxels || c[a] > size_[a] - 1 + margin_voxels) return false;
    return true;
}

VolumeGeometry VolumeGeometry::sub_block(std::array<int, 3> first, std::array<int, 3> size) const {
    VolumeGeometry g = *this;
    g.origin_ = to_patient({static_cast<double>(first[0]), static_cast<double>(first[1]), static_cast<double>(first[2])});
    g.size_ = size;
    return g;
}

}  // namespace perisclera
