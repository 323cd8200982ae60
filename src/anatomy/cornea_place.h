// SPDX-License-Identifier: Apache-2.0
#pragma once
// Where the cornea puts the globe's centre along the axis, of which the globe's sides say little. Patient frame, mm.
#include "perisclera/core/frames.h"

namespace perisclera {

/// Common practice, no source: 11.7 mm across at the limbus with a radius of 7.8 mm, its front lies 1.1 mm before the sphere through limbus and equator; it is 0.55 mm thick.
struct CorneaPlace {
    PatientVector axis;
    double inner_face_mm;             ///< projection on the axis, patient origin
    double spread_mm;                 ///< of the centre so told: standard uncertainty
    static constexpr double radius_of_curvature_mm = 7.8, before_sphere_mm = 1.1, thickness_mm = 0.55;
    /// Of its inner face from the centre of a globe of this outer radius.
    [[nodiscard]] static double inner_face_from_centre_mm(double radius_mm) { return radius_mm + before_sphere_mm - thickness_mm; }
    /// How far this centre lies before the place where the cornea puts it, along the axis.
    [[nodiscard]] double off(PatientPoint centre, double radius_mm) const { return dot(centre - PatientPoint{0, 0, 0}, axis) + inner_face_from_centre_mm(radius_mm) - inner_face_mm; }
};

}  // namespace perisclera
