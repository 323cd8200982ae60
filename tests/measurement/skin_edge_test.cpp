// SPDX-License-Identifier: Apache-2.0
// A ball of skin about the eye, its edge against air blurred by a Gaussian of known width: in closed form a step of the distance from it, as the ball is large against the blur.
#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include "src/measurement/skin_edge.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

constexpr double globe_mm = 12.0, skin_mm = 20.0, skin_hu = 40.0, air_hu = -1000.0;

/// Point samples of the blurred edge; its width may be another along the slices' normal. `overshoot`: of the step, on either side of it.
PolarBlock seen(double spacing, double slice_spacing, double in_plane, double along_slices, double outside_hu = air_hu, double overshoot = 0.0) {
    constexpr double reach = 25.0;
    const auto count = [&](double s) { return static_cast<int>(2.0 * reach / s) + 1; };
    const std::array<int, 3> size{count(spacing), count(spacing), count(slice_spacing)};
    const auto geometry = VolumeGeometry::make({-reach, -reach, -reach}, {1, 0, 0}, {0, 1, 0}, {0, 0, slice_spacing}, {spacing, spacing}, size).value();
    std::vector<float> values;
    for (int z = 0; z < size[2]; ++z)
        for (int y = 0; y < size[1]; ++y)
            for (int x = 0; x < size[0]; ++x) {
                const double px = x * spacing - reach, py = y * spacing - reach, pz = z * slice_spacing - reach, r = std::max(std::hypot(px, py, pz), 1e-6);
                const double c = pz * pz / (r * r), blur = std::sqrt((1.0 - c) * in_plane * in_plane + c * along_slices * along_slices), off = (r - skin_mm) / blur;
                const double step = 0.5 * std::erfc(off / std::numbers::sqrt2) - overshoot * off * std::exp(-0.5 * off * off / 4.0);
                values.push_back(static_cast<float>(outside_hu + (skin_hu - outside_hu) * step));
            }
    return PolarBlock(VoxelGrid(geometry, std::move(values)), test::ball_globe(Eye::right, {0, 0, 0}, globe_mm));
}

/// Linear interpolation between samples spreads by a sixth of the squared spacing (variance of a triangle).
double interpolated(double blur, double spacing) { return blur * blur + spacing * spacing / 6.0; }

}  // namespace

TEST(SkinEdge, tells_the_blur_of_soft_and_sharp_kernels) {
    for (const double blur : {0.25, 0.42, 0.7}) {
        const auto told = blur_of_skin(seen(0.45, 0.45, blur, blur));
        ASSERT_TRUE(told) << blur;
        // To 5 % of the deviation, so that a layer of 0.8 mm under a blur of 0.5 is known to some 15 %: what this project aims at.
        EXPECT_NEAR(std::sqrt(told->in_plane / interpolated(blur, 0.45)), 1.0, 0.05) << blur;
    }
}

TEST(SkinEdge, tells_the_slices_apart_from_the_plane) {
    const auto told = blur_of_skin(seen(0.45, 1.0, 0.42, 0.8));
    ASSERT_TRUE(told);
    EXPECT_NEAR(std::sqrt(told->in_plane / interpolated(0.42, 0.45)), 1.0, 0.05);
    // Within twice what it says of its doubt.
    EXPECT_NEAR(told->along_slices / interpolated(0.8, 1.0), 1.0, 2.0 * told->along_slices_doubt);
    EXPECT_LT(told->along_slices_doubt, 0.2);
}

TEST(SkinEdge, says_nothing_without_air_or_where_the_kernel_overshoots) {
    EXPECT_FALSE(blur_of_skin(seen(0.45, 0.45, 0.42, 0.42, -100.0)));
    EXPECT_FALSE(blur_of_skin(seen(0.45, 0.45, 0.42, 0.42, air_hu, 0.15)));
}

}  // namespace perisclera
