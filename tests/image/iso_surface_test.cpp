// SPDX-License-Identifier: Apache-2.0
// Against the closed forms of a ball.
#include "perisclera/image/iso_surface.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace perisclera {
namespace {

constexpr std::size_t side = 41;
constexpr double middle = 20.0, radius = 12.0;

/// Falls by 1 for each sample away from the middle, so that linear interpolation errs by curvature only.
IsoSurface ball() {
    std::vector<float> values;
    for (std::size_t k = 0; k < side * side * side; ++k) {
        const double x = static_cast<double>(k % side) - middle, y = static_cast<double>(k / side % side) - middle, z = static_cast<double>(k / side / side) - middle;
        values.push_back(static_cast<float>(radius - std::sqrt(x * x + y * y + z * z)));
    }
    return iso_surface(values, {side, side, side}, 0.0);
}

TEST(IsoSurface, corners_of_a_ball_lie_at_its_radius) {
    const IsoSurface s = ball();
    ASSERT_GT(s.corners.size(), 1000u);
    // Along an edge of length 1 the distance departs from a straight line by at most 1/8 of its curvature, 1 / radius.
    for (const auto& c : s.corners) EXPECT_NEAR(std::hypot(c[0] - middle, c[1] - middle, c[2] - middle), radius, 1.0 / (8.0 * radius) + 1e-3);
}

TEST(IsoSurface, is_closed_and_holds_the_ball_with_its_corners_anticlockwise_from_outside) {
    const IsoSurface s = ball();
    double volume = 0.0;  // sum of the signed tetrahedra over the middle: positive only where triangles face outwards
    for (const auto& t : s.triangles) {
        const auto &a = s.corners[t[0]], &b = s.corners[t[1]], &c = s.corners[t[2]];
        const double ax = a[0] - middle, ay = a[1] - middle, az = a[2] - middle, bx = b[0] - middle, by = b[1] - middle, bz = b[2] - middle, cx = c[0] - middle, cy = c[1] - middle, cz = c[2] - middle;
        volume += (ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx)) / 6.0;
    }
    // Chords lie inside the ball by about 1 / (8 radius), an area of 4 pi r^2 times that: one percent of the volume is generous.
    EXPECT_NEAR(volume, 4.0 / 3.0 * std::numbers::pi * radius * radius * radius, 0.01 * 4.0 / 3.0 * std::numbers::pi * radius * radius * radius);
    // A closed surface without holes, in one piece: corners - edges + faces = 2 (Euler), each edge belonging to two triangles.
    EXPECT_EQ(static_cast<long>(s.corners.size()) - static_cast<long>(s.triangles.size()) / 2, 2);
}

TEST(IsoSurface, of_a_block_below_the_level_is_empty) {
    const IsoSurface s = iso_surface(std::vector<float>(27, 0.0f), {3, 3, 3}, 0.5);
    EXPECT_TRUE(s.corners.empty());
    EXPECT_TRUE(s.triangles.empty());
}

}  // namespace
}  // namespace perisclera
