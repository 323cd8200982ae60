// SPDX-License-Identifier: Apache-2.0
// The fellow eye as atlas, on balls: places against angles worked out by hand.
#include "perisclera/segmentation/fellow_atlas.h"

#include <gtest/gtest.h>

#include "src/segmentation/columns.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

constexpr double degrees = std::numbers::pi / 180.0;

/// Turned to the patient's left about the vertical.
PolarBlock eye(Eye which, double radius, double turned_left = 0.0) {
    const PatientPoint centre{which == Eye::left ? 31.0 : -31.0, 0.0, 0.0};
    Globe globe = test::ball_globe(which, centre, radius);
    globe.frame = EyeFrame(centre, {std::sin(turned_left), -std::cos(turned_left), 0.0}, {0.0, 0.0, 1.0});
    return PolarBlock(test::drawn_grid(centre, {4, 4, 4}, {1.0, 1.0, 1.0}, [](PatientPoint) { return 0.0; }), globe);
}

int polar_cell(double polar_degrees) { return static_cast<int>(std::lround((polar_degrees * degrees - PolarBlock::polar_first) / PolarBlock::polar_step)); }

}  // namespace

// Globes of one person are alike within tenths of a millimetre (common practice, no source).
TEST(FellowAtlas, a_fellow_that_appears_much_smaller_does_not_serve) {
    EXPECT_TRUE(serves_as_atlas(eye(Eye::left, 12.2), eye(Eye::right, 12.2)));
    EXPECT_TRUE(serves_as_atlas(eye(Eye::left, 12.2), eye(Eye::right, 11.7)));
    EXPECT_FALSE(serves_as_atlas(eye(Eye::left, 12.2), eye(Eye::right, 10.8)));
    EXPECT_TRUE(serves_as_atlas(eye(Eye::left, 10.8), eye(Eye::right, 12.2))) << "a sound eye serves an eye that is not";
}

TEST(FellowAtlas, straight_ahead_the_place_in_the_head_is_the_mirrored_clock) {
    const auto place = mirrored_in_head(eye(Eye::left, 12.2), eye(Eye::right, 12.2));
    for (int c = 0; c < PolarBlock::clock_count; ++c)
        for (int p = 0; p < PolarBlock::polar_count; ++p) {
            const auto there = place[column(c, p)];
            ASSERT_TRUE(there.has_value()) << c << ' ' << p;
            EXPECT_EQ(*there, column((PolarBlock::clock_count - c) % PolarBlock::clock_count, p));
        }
}

// Both eyes look 15 degrees to the left. What lies at 3 o'clock of the left eye, 60 degrees from its axis, lies 75 degrees from straight ahead; its
// mirror image lies 75 degrees to the right of straight ahead, and so 90 from the right eye's axis, at 9 o'clock. At 9 o'clock it is 60, 45 and 30.
TEST(FellowAtlas, when_both_eyes_look_aside_the_place_stays_behind) {
    const auto place = mirrored_in_head(eye(Eye::left, 12.2, 15.0 * degrees), eye(Eye::right, 12.2, 15.0 * degrees));
    const auto expect_place = [&](double hours, double polar, double mirrored_hours, double mirrored_polar) {
        const auto there = place[column(static_cast<int>(10.0 * hours), polar_cell(polar))];
        ASSERT_TRUE(there.has_value());
        EXPECT_EQ(column_at(*there).clock, static_cast<int>(10.0 * mirrored_hours));
        EXPECT_EQ(column_at(*there).polar, polar_cell(mirrored_polar));
    };
    expect_place(3.0, 61.0, 9.0, 91.0);
    expect_place(9.0, 61.0, 3.0, 31.0);
    EXPECT_FALSE(place[column(30, polar_cell(141.0))].has_value()) << "171 degrees from the axis lie beyond the grid";
}

// Mirrored about 12 o'clock, 1 to 4 becomes 8 to 11.
TEST(FellowAtlas, opposite_is_the_mirrored_clock_and_an_hour_beside_it) {
    const auto at = [](double from, double span) { return test::element_of({from, span, 75.0 * degrees, 105.0 * degrees, 0.0, 3.0}, Appearance::mr_void, 0.0, 1000.0); };
    const FoundElement of_fellow = at(1.0, 3.0);
    EXPECT_TRUE(lies_opposite(at(8.0, 3.0), of_fellow));
    EXPECT_TRUE(lies_opposite(at(11.0, 1.5), of_fellow)) << "two thirds of it within the hour";
    EXPECT_FALSE(lies_opposite(at(1.0, 3.0), of_fellow)) << "the same hours, not mirrored";
    EXPECT_FALSE(lies_opposite(at(4.0, 2.5), of_fellow));
}

}  // namespace perisclera
