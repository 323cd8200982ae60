// SPDX-License-Identifier: Apache-2.0
#pragma once
// Where the cornea puts the globe's centre along the axis, of which the globe's sides say little. Patient frame, mm.
#include <cmath>

#include "perisclera/core/frames.h"

namespace perisclera {

/// Common practice, no source: the cornea is 11.7 mm across at the limbus, with a radius of 7.8 mm, and 0.55 mm thick. So its front lies 1.1 mm before the sphere of a usual eye.
struct CorneaPlace {
    PatientVector axis;
    double inner_face_mm;             ///< projection on the axis, patient origin
    double spread_mm;                 ///< of the centre so told: standard uncertainty
    static constexpr double radius_of_curvature_mm = 7.8, limbus_radius_mm = 5.85, thickness_mm = 0.55;
    /// Of its inner face from the centre of a globe of this outer radius: the circle of the limbus lies on both spheres.
    [[nodiscard]] static double inner_face_from_centre_mm(double radius_mm) {
        const auto depth = [](double radius) { return std::sqrt(radius * radius - limbus_radius_mm * limbus_radius_mm); };
        return depth(radius_mm) - depth(radius_of_curvature_mm) + radius_of_curvature_mm - thickness_mm;
    }
    /// How far this centre lies before the place where the cornea puts it, along the axis.
    [[nodiscard]] double off(PatientPoint centre, double radius_mm) const { return dot(centre - PatientPoint{0, 0, 0}, axis) + inner_face_from_centre_mm(radius_mm) - inner_face_mm; }
};

}  // namespace perisclera
