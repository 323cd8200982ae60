// SPDX-License-Identifier: Apache-2.0
#include "head_pose.h"

#include <cmath>

#include "head_model.h"

namespace perisclera::phantoms {

namespace {

// The head never lies at the scanner's centre: nobody may rely on it.
constexpr PatientPoint usual_origin{4.0, -62.0, 35.0};

double radians(double degrees) { return degrees * pi / 180.0; }

/// v turned about the unit vector `axis` (Rodrigues).
PatientVector turned(PatientVector v, PatientVector axis, double angle) {
    return v * std::cos(angle) + cross(axis, v) * std::sin(angle) + axis * (dot(axis, v) * (1.0 - std::cos(angle)));
}

}  // namespace

HeadPose::HeadPose(const Series& series)
    : axes_{PatientVector{1, 0, 0}, PatientVector{0, 1, 0}, PatientVector{0, 0, 1}},
      origin_(usual_origin + PatientVector{series.shift_mm[0], series.shift_mm[1], series.shift_mm[2]}) {
    constexpr std::array<PatientVector, 3> scanner{PatientVector{1, 0, 0}, PatientVector{0, 1, 0}, PatientVector{0, 0, 1}};
    for (std::size_t about = 0; about < 3; ++about)
        for (PatientVector& axis : axes_) axis = turned(axis, scanner[about], radians(series.pose_deg[about]));
}

PatientVector HeadPose::to_patient(HeadVector v) const { return axes_[0] * v.x + axes_[1] * v.y + axes_[2] * v.z; }
PatientPoint HeadPose::to_patient(HeadPoint p) const { return origin_ + to_patient(p - HeadPoint{0, 0, 0}); }
HeadVector HeadPose::to_head(PatientVector v) const { return {dot(axes_[0], v), dot(axes_[1], v), dot(axes_[2], v)}; }
HeadPoint HeadPose::to_head(PatientPoint p) const { return HeadPoint{0, 0, 0} + to_head(p - origin_); }

Result<VolumeGeometry> series_geometry(const Series& series, const HeadPose& pose) {
    PatientVector row{1, 0, 0}, column{0, 1, 0};
    std::array<double, 3> extent = series.field_mm;
    switch (series.plane) {
        case Plane::axial: break;
        case Plane::coronal:
            column = {0, 0, -1};
            extent = {series.field_mm[0], series.field_mm[2], series.field_mm[1]};
            break;
        case Plane::sagittal:
            row = {0, 1, 0};
            column = {0, 0, -1};
            extent = {series.field_mm[1], series.field_mm[2], series.field_mm[0]};
            break;
    }
    column = turned(column, row, radians(series.tilt_deg[0] + series.gantry_tilt_deg));
    row = turned(row, column, radians(series.tilt_deg[1]));
    const PatientVector normal = cross(row, column);
    const auto count = [](double length, double step) { return std::max(1, static_cast<int>(std::lround(length / step))); };
    const std::array<int, 3> size{count(extent[0], series.spacing_mm), count(extent[1], series.spacing_mm), count(extent[2], series.slice_spacing_mm)};
    // The table moves along the scanner's axis by as much as keeps the planes at their distance.
    const PatientVector step = series.gantry_tilt_deg == 0.0 ? normal * series.slice_spacing_mm : PatientVector{0, 0, series.slice_spacing_mm / normal.z};
    const PatientPoint origin = pose.to_patient(HeadModel::middle_of_orbits()) - row * (series.spacing_mm * (size[0] - 1) / 2.0) -
                                column * (series.spacing_mm * (size[1] - 1) / 2.0) - step * ((size[2] - 1) / 2.0);
    return VolumeGeometry::make(origin, row, column, step, {series.spacing_mm, series.spacing_mm}, size);
}

}  // namespace perisclera::phantoms
