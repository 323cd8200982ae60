// SPDX-License-Identifier: Apache-2.0
#include "face_surface.h"

#include "ellipsoid.h"

namespace perisclera::phantoms {

namespace {

constexpr Ellipsoid nose{0.0, -12.0, -24.0, 12.0, 22.0, 27.0}, brow{24.0, -3.0, 17.0, 24.0, 10.0, 8.0};
constexpr double nose_mm = 14.0, brow_mm = 8.0;       // from surface to middle
constexpr double rounding_mm = 3.0;                   // where nose and brow meet the face
constexpr double most_added_mm = 0.25 * rounding_mm;  // by it

}  // namespace

double depth_below_face(double m, double y, double z, double setback) {
    const double dx = m / 80.0, dy = std::abs(y - 80.0) / 95.0, dz = (z - 12.0) / 118.0;
    const double f = dx * dx * std::sqrt(dx) + dy * dy * std::sqrt(dy) + dz * dz;
    double depth = (1.0 - f) * 35.0;
    if (setback > 0.0) depth -= setback * (1.0 - smooth_step((std::sqrt((m - 31.0) * (m - 31.0) + z * z) - 8.0) / 12.0));  // ends at the rims
    // Smooth union: the larger depth, rounded where two are alike.
    const auto join = [&depth](double other) {
        const double h = std::clamp(0.5 + 0.5 * (other - depth) / rounding_mm, 0.0, 1.0);
        depth = std::lerp(depth, other, h) + rounding_mm * h * (1.0 - h);
    };
    if (depth > 20.0 || depth < -60.0) return depth;
    if (m < 18.0 && y < 16.0) join((1.0 - nose.at(m, y, z)) * nose_mm);
    if (z > 6.0 && z < 28.0 && y < 10.0) join((1.0 - brow.at(m, y, z)) * brow_mm);
    return depth;
}

Range depth_below_face(const HeadBox& face, double setback) {
    const auto to_the_power = [](Range size) { return rising(size, [](double d) { return d * d * std::sqrt(d); }); };
    const Range f = to_the_power(face.x * (1.0 / 80.0)) + to_the_power(size_of(face.y - 80.0) * (1.0 / 95.0)) + squared((face.z - 12.0) * (1.0 / 118.0));
    Range depth = (1.0 - f) * 35.0;
    depth.low -= std::max(0.0, setback);
    // Nose and brow only add.
    const auto join = [&depth](Range other) { depth.high = std::max(depth.high, other.high) + most_added_mm; };
    if (face.x.low < 18.0 && face.y.low < 16.0) join((1.0 - nose.within(face)) * nose_mm);
    if (face.z.high > 6.0 && face.z.low < 28.0 && face.y.low < 10.0) join((1.0 - brow.within(face)) * brow_mm);
    return depth;
}

}  // namespace perisclera::phantoms
