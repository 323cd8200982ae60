// SPDX-License-Identifier: Apache-2.0
#pragma once
// The outer surface of a globe in eye coordinates: a sphere, longer or shorter at the back, with a cornea of its own
// curvature in front of the limbus and, in some eyes, a staphyloma behind. Everything an element can touch (to 22 mm behind
// the limbus) lies on the sphere, so that arcs and volumes there have closed forms. mm, radians.
#include <algorithm>
#include <cmath>

#include "perisclera/core/frames.h"

namespace perisclera::phantoms {

inline constexpr double pi = 3.14159265358979323846;

/// 0 below 0, 1 above 1, smooth between.
inline double smooth_step(double t) {
    t = std::clamp(t, 0.0, 1.0);
    return t * t * (3.0 - 2.0 * t);
}

/// A bulge of the posterior wall, none where it has no depth.
struct Staphyloma {
    double depth_mm = 0.0;
    EyeVector direction{0.0, 0.0, -1.0};  ///< of its deepest point, at most 25 degrees off the posterior pole

    static constexpr double half_angle = 0.65;  ///< it ends here, 37 degrees off its deepest point

    [[nodiscard]] double bulge(EyeVector towards) const {
        if (depth_mm <= 0.0) return 0.0;
        return depth_mm * (1.0 - smooth_step(std::acos(std::clamp(dot(towards, direction), -1.0, 1.0)) / half_angle));
    }
};

struct GlobeShape {
    double radius;
    double elongation;             ///< by which the posterior pole lies beyond the sphere, a staphyloma left out
    double limbus_radius = 5.9;    ///< the definition of the limbus circle
    double corneal_radius = 7.8;   ///< common practice, no source
    Staphyloma staphyloma{};

    static constexpr double corneal_thickness = 0.55;

    static GlobeShape sphere(double radius) { return {radius, 0.0}; }
    static GlobeShape of_length(double radius, double axial_length) { return of_length(sphere(radius), axial_length); }
    /// The same equator, cornea and staphyloma on an eye of another length.
    static GlobeShape of_length(GlobeShape shape, double axial_length) {
        shape.elongation += axial_length - shape.axial_length();
        return shape;
    }

    [[nodiscard]] double limbus_z() const { return std::sqrt(radius * radius - limbus_radius * limbus_radius); }
    [[nodiscard]] double limbus_polar_angle() const { return std::asin(limbus_radius / radius); }
    [[nodiscard]] double corneal_centre_z() const {
        return limbus_z() - std::sqrt(corneal_radius * corneal_radius - limbus_radius * limbus_radius);
    }
    [[nodiscard]] double apex_z() const { return corneal_centre_z() + corneal_radius; }
    [[nodiscard]] double axial_length() const { return apex_z() + outer({0.0, 0.0, -1.0}); }
    /// Angle from the anterior axis of the point `arc` mm behind the limbus.
    [[nodiscard]] double polar_angle(double arc) const { return limbus_polar_angle() + arc / radius; }

    /// 0 in front of 115 degrees from the anterior axis (22 mm behind the limbus on a usual globe), 1 at the posterior pole.
    [[nodiscard]] static double posterior_share(double cosine_from_axis) { return smooth_step((-cosine_from_axis - 0.42) / 0.58); }
    /// Distance of the outer sclera from the centre in this direction.
    [[nodiscard]] double outer(EyeVector direction) const { return radius + elongation * posterior_share(direction.z) + staphyloma.bulge(direction); }
    /// No part of the sclera lies farther from the centre.
    [[nodiscard]] double farthest() const { return radius + std::max(0.0, elongation) + staphyloma.depth_mm; }
};

}  // namespace perisclera::phantoms
