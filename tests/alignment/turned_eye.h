// SPDX-License-Identifier: Apache-2.0
#pragma once
// One eye, and a head about it, drawn in unlike contrasts and turned by known angles. Shares no code with the alignment.
#include <cmath>
#include <numbers>

#include "tests/support/drawn_eye.h"

namespace perisclera::test {

constexpr double outer = 12.0, degree = std::numbers::pi / 180.0;

/// Signals of the tissues: what is bright on one is dark on the other.
struct Contrast {
    double fluid, lens, wall, around;
};
constexpr Contrast t2{1000.0, 300.0, 200.0, 550.0}, t1{250.0, 480.0, 300.0, 900.0};

/// A ball with a wall of 0.8 mm and a lens of 9.2 x 4 mm (common practice, no source).
inline double signal_at(EyePoint p, const Contrast& c) {
    const double r = std::sqrt(p.x * p.x + p.y * p.y + p.z * p.z);
    if (r > outer) return c.around;
    if (r > outer - 0.8) return c.wall;
    const double across = std::hypot(p.x, p.y) / 4.6, along = (p.z - 7.4) / 2.0;
    return across * across + along * along < 1.0 ? c.lens : c.fluid;
}

inline EyeFrame looking(PatientPoint centre, double left_deg, double up_deg) {
    const double a = left_deg * degree, b = up_deg * degree;
    return {centre, {std::sin(a) * std::cos(b), -std::cos(a) * std::cos(b), std::sin(b)}, {0, 0, 1}};
}

inline VoxelGrid drawn(const EyeFrame& eye, const Contrast& contrast, std::array<double, 3> spacing) {
    const std::array<int, 3> size{static_cast<int>(34.0 / spacing[0]), static_cast<int>(34.0 / spacing[1]), static_cast<int>(34.0 / spacing[2])};
    return drawn_grid(eye.origin(), size, spacing, [&](PatientPoint p) { return signal_at(eye.to_eye(p), contrast); });
}

inline Globe told(const EyeFrame& frame, double radius = outer) {
    Globe globe = ball_globe(Eye::left, frame.origin(), radius);
    globe.frame = frame;
    globe.axis_uncertainty = Degrees(3.0);
    globe.centre_uncertainty = Mm(0.5);
    return globe;
}

inline double degrees_between(PatientVector a, PatientVector b) { return std::atan2(length(cross(a, b)), dot(a, b)) / degree; }

}  // namespace perisclera::test
