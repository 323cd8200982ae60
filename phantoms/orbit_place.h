// SPDX-License-Identifier: Apache-2.0
#pragma once
// The bony orbit as the bowl it is, in head coordinates with `m` the distance from the midline in a face of usual breadth: where its wall lies, and where
// its rim. mm.
#include <algorithm>
#include <cmath>

#include "globe_shape.h"

namespace perisclera::phantoms {

/// The orbital cavity as a cone-like bowl, `m` lateral: share of the way from the axis to the wall (1 on the wall).
struct OrbitPlace {
    double forward;        ///< 0 at the apex, 1 at the opening
    double to_wall;        ///< 1 on the wall, more in the bone
    double half_breadth;   ///< mm from axis to wall in this direction, roughly
    double lateral_share, up_share;
};
inline OrbitPlace orbit_place(double m, double y, double z, double scale) {
    // From the apex (15, 35, 1) to the opening's middle (33, -7, -1).
    constexpr double ax = 18.0, ay = -42.0, az = -2.0;
    constexpr double squared_length = ax * ax + ay * ay + az * az;
    const double px = m - 15.0, py = y - 35.0, pz = z - 1.0;
    const double t = (px * ax + py * ay + pz * az) / squared_length;
    if (t <= 0.0) return {t, 99.0, 1.0, 0.0, 0.0};
    const double root = std::sqrt(t);
    const double swell = root * std::sqrt(root);
    const double half_width = scale * (4.5 + 17.0 * swell), half_height = scale * (4.0 + 14.0 * swell);
    const double u = px - t * ax, v = pz - t * az;
    const double across = u / half_width, up = v / half_height;
    const double share = std::sqrt(across * across + up * up);
    const double norm = std::max(share, 1e-9);
    return {t, share, std::sqrt(u * u + v * v) / norm, across / norm, up / norm};
}

/// The bony rim lies farther back at the outer side.
inline double rim_y(double m) { return -9.0 + 13.0 * smooth_step((m - 30.0) / 20.0); }

/// Signed cell pattern: small near the planes of a bent lattice of this pitch, in units of mm.
inline double distance_to_septa(double x, double y, double z, double pitch) {
    const auto to_plane = [pitch](double c) { return std::abs(std::remainder(c, pitch)); };
    return std::min({to_plane(x + 0.8 * std::sin(0.35 * y)), to_plane(y + 0.9 * std::sin(0.4 * z)), to_plane(z + 0.8 * std::sin(0.3 * x + 0.2 * y))});
}

}  // namespace perisclera::phantoms
