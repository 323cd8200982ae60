// SPDX-License-Identifier: Apache-2.0
#pragma once
// The bony orbit as the bowl it is, in head coordinates with `m` the distance from the midline in a face of usual breadth: where its wall lies, and where
// its rim. mm.
#include <algorithm>
#include <array>
#include <cmath>

#include "head_box.h"

namespace perisclera::phantoms {

/// The orbital cavity as a cone-like bowl, `m` lateral: share of the way from the axis to the wall (1 on the wall).
struct OrbitPlace {
    double forward;        ///< 0 at the apex, 1 at the opening
    double to_wall;        ///< 1 on the wall, more in the bone
    double half_breadth;   ///< mm from axis to wall in this direction, roughly
    double lateral_share, up_share;
};
/// From the apex (15, 35, 1) to the opening's middle (33, -7, -1).
inline constexpr HeadPoint orbit_apex{15.0, 35.0, 1.0};
inline constexpr HeadVector orbit_axis{18.0, -42.0, -2.0};
/// Half the bowl's breadth and height where its axis is divided, by t to the power 3/2.
constexpr std::array<double, 2> orbit_halves(double swell, double scale) { return {scale * (4.5 + 17.0 * swell), scale * (4.0 + 14.0 * swell)}; }

/// Behind the apex, or where only that the point lies far beyond the wall matters.
constexpr OrbitPlace far_beyond_wall(double forward) { return {forward, 99.0, 1.0, 0.0, 0.0}; }

inline OrbitPlace orbit_place(double m, double y, double z, double scale) {
    constexpr double ax = orbit_axis.x, ay = orbit_axis.y, az = orbit_axis.z, squared_length = dot(orbit_axis, orbit_axis);
    const double px = m - orbit_apex.x, py = y - orbit_apex.y, pz = z - orbit_apex.z;
    const double t = (px * ax + py * ay + pz * az) / squared_length;
    if (t <= 0.0) return far_beyond_wall(t);
    const double root = std::sqrt(t);
    const auto [half_width, half_height] = orbit_halves(root * std::sqrt(root), scale);
    const double u = px - t * ax, v = pz - t * az;
    const double across = u / half_width, up = v / half_height;
    const double share = std::sqrt(across * across + up * up);
    const double norm = std::max(share, 1e-9);
    return {t, share, std::sqrt(u * u + v * v) / norm, across / norm, up / norm};
}

/// Bounds over a box.
struct OrbitPlaceRange {
    Range forward, to_wall;
    double beyond_wall_mm;  ///< no point lies nearer to the wall outside it, negative where the wall may be within
    bool lateral;           ///< may some of it lie on the lateral side of the axis?
};
inline OrbitPlaceRange orbit_place(const HeadBox& face, double scale) {
    constexpr double squared_length = dot(orbit_axis, orbit_axis);
    constexpr HeadVector per_t = orbit_axis * (1.0 / squared_length);
    const Range t = face.along(per_t, orbit_apex), u = face.along(HeadVector{1.0, 0.0, 0.0} - per_t * orbit_axis.x, orbit_apex),
                v = face.along(HeadVector{0.0, 0.0, 1.0} - per_t * orbit_axis.z, orbit_apex);
    const auto halves = [&](double at) { return orbit_halves(std::pow(std::max(0.0, at), 0.75), scale); };
    const auto smallest = halves(t.low), largest = halves(t.high);
    const Range off_u = size_of(u), off_v = size_of(v);
    Range to_wall{std::hypot(off_u.low / largest[0], off_v.low / largest[1]), std::hypot(off_u.high / smallest[0], off_v.high / smallest[1])};
    if (t.low <= 0.0) to_wall.high = 99.0;
    if (t.high <= 0.0) to_wall.low = 99.0;
    return {t, to_wall, std::hypot(off_u.low, off_v.low) - std::max(largest[0], largest[1]), u.high > 0.0};
}

/// The bony rim lies farther back at the outer side.
inline double rim_y(double m) { return -9.0 + 13.0 * smooth_step((m - 30.0) / 20.0); }

/// Signed cell pattern: small near the planes of a bent lattice of this pitch, in units of mm.
inline double distance_to_septa(double x, double y, double z, double pitch) {
    const auto to_plane = [pitch](double c) { return std::abs(std::remainder(c, pitch)); };
    return std::min({to_plane(x + 0.8 * std::sin(0.35 * y)), to_plane(y + 0.9 * std::sin(0.4 * z)), to_plane(z + 0.8 * std::sin(0.3 * x + 0.2 * y))});
}

}  // namespace perisclera::phantoms
