// SPDX-License-Identifier: Apache-2.0
#pragma once
// The outer surface of a globe in eye coordinates: a sphere, longer or shorter at the back, with a cornea of its own
// curvature in front of the limbus. Everything an element can touch (to 22 mm behind the limbus) lies on the sphere, so
// that arcs and volumes there have closed forms. mm, radians.
#include <algorithm>
#include <cmath>

namespace perisclera::phantoms {

inline constexpr double pi = 3.14159265358979323846;

/// 0 below 0, 1 above 1, smooth between.
inline double smooth_step(double t) {
    t = std::clamp(t, 0.0, 1.0);
    return t * t * (3.0 - 2.0 * t);
}

struct GlobeShape {
    double radius;
    double elongation;  ///< by which the posterior pole lies beyond the sphere

    static constexpr double limbus_radius = 5.9;     ///< the definition of the limbus circle
    static constexpr double corneal_radius = 7.8;    ///< common practice, no source
    static constexpr double corneal_thickness = 0.55;

    static GlobeShape sphere(double radius) { return {radius, 0.0}; }
    static GlobeShape of_length(double radius, double axial_length) { return {radius, axial_length - sphere(radius).axial_length()}; }

    [[nodiscard]] double limbus_z() const { return std::sqrt(radius * radius - limbus_radius * limbus_radius); }
    [[nodiscard]] double limbus_polar_angle() const { return std::asin(limbus_radius / radius); }
    [[nodiscard]] double corneal_centre_z() const {
        return limbus_z() - std::sqrt(corneal_radius * corneal_radius - limbus_radius * limbus_radius);
    }
    [[nodiscard]] double apex_z() const { return corneal_centre_z() + corneal_radius; }
    [[nodiscard]] double axial_length() const { return apex_z() + radius + elongation; }
    /// Angle from the anterior axis of the point `arc` mm behind the limbus.
    [[nodiscard]] double polar_angle(double arc) const { return limbus_polar_angle() + arc / radius; }

    /// 0 in front of 115 degrees from the anterior axis (22 mm behind the limbus on a usual globe), 1 at the posterior pole.
    [[nodiscard]] static double posterior_share(double cosine_from_axis) { return smooth_step((-cosine_from_axis - 0.42) / 0.58); }
    /// Distance of the outer sclera from the centre in this direction.
    [[nodiscard]] double outer(double cosine_from_axis) const { return radius + elongation * posterior_share(cosine_from_axis); }
    /// Thickness of the sclera: 0.45 mm at the equator to 0.95 mm at the posterior pole (rows of Vurgese 2012, Olsen 1998).
    [[nodiscard]] static double scleral_thickness(double cosine_from_axis) {
        return 0.45 + 0.5 * posterior_share(cosine_from_axis) + 0.1 * smooth_step((cosine_from_axis - 0.6) / 0.3);
    }
};

}  // namespace perisclera::phantoms
