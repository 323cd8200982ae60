// SPDX-License-Identifier: Apache-2.0
// Images that end at the globe's centre hold half of its grid; limbus to equator on a globe of 24 mm.
#include <numbers>

#include <gtest/gtest.h>

#include "tests/support/drawn_eye.h"

namespace perisclera {

TEST(PolarBlockCoverage, images_that_end_at_the_centre_hold_half_the_eye) {
    // 30 slices of 1 mm from the plane through the centre upwards.
    const auto grid = test::drawn_grid({0, 0, 15}, {120, 120, 30}, {0.5, 0.5, 1.0}, [](PatientPoint) { return 1.0; });
    const PolarBlock block(grid, test::ball_globe(Eye::right, {0, 0, 0}, 12.0));
    EXPECT_NEAR(block.coverage(0.0, 6.0), 0.5, 0.02);
}

// Own geometry: 12 (pi/2 - asin(5.9/12)) = 12.7 mm.
TEST(PolarBlockCoverage, limbus_to_equator_on_a_globe_of_24_mm) {
    const auto grid = test::drawn_grid({0, 0, 0}, {20, 20, 20}, {2, 2, 2}, [](PatientPoint) { return 1.0; });
    const PolarBlock block(grid, test::ball_globe(Eye::right, {0, 0, 0}, 12.0));
    EXPECT_NEAR(block.limbus_arc_mm(std::numbers::pi / 2), 12.7, 0.15);
}

}  // namespace perisclera
