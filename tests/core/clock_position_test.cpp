// SPDX-License-Identifier: Apache-2.0
#include "perisclera/core/clock_position.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace perisclera {

// The dial as an examiner facing the patient sees it: the definition in the README (12 superior, 3 towards the patient's left).
TEST(ClockPosition, three_oclock_lies_towards_the_patients_left) {
    EXPECT_NEAR(ClockPosition::from_components(1.0, 0.0).hours(), 3.0, 1e-12);
    EXPECT_NEAR(ClockPosition::from_components(0.0, 1.0).hours(), 0.0, 1e-12);
    EXPECT_NEAR(ClockPosition::from_components(-1.0, 0.0).hours(), 9.0, 1e-12);
    EXPECT_NEAR(ClockPosition::from_components(0.0, -1.0).hours(), 6.0, 1e-12);
}

TEST(ClockPosition, wraps_and_measures_clockwise) {
    EXPECT_NEAR(ClockPosition(-1.5).hours(), 10.5, 1e-12);
    EXPECT_NEAR(ClockPosition(12.0).hours(), 0.0, 1e-12);
    EXPECT_NEAR(ClockPosition(10.4).clockwise_to(ClockPosition(1.4)).value(), 3.0, 1e-12);
    EXPECT_NEAR(ClockPosition(11.5).distance_to(ClockPosition(0.5)).value(), 1.0, 1e-12);
}

TEST(ClockPosition, the_same_hour_is_nasal_in_one_eye_and_temporal_in_the_other) {
    EXPECT_EQ(quadrant_in_words(ClockPosition(1.5), Eye::right), "upper nasal");
    EXPECT_EQ(quadrant_in_words(ClockPosition(1.5), Eye::left), "upper temporal");
    EXPECT_EQ(quadrant_in_words(ClockPosition(9.0), Eye::right), "temporal");
    EXPECT_EQ(quadrant_in_words(ClockPosition(7.5), Eye::left), "lower nasal");
}

// Twelve hours are 360 degrees, 30 degrees each.
TEST(ClockPosition, each_hour_is_thirty_degrees_from_superior_towards_the_patients_left) {
    for (int hour = 0; hour < 12; ++hour) {
        const double angle = hour * 30.0 * std::numbers::pi / 180.0;
        EXPECT_NEAR(ClockPosition::from_components(std::sin(angle), std::cos(angle)).distance_to(ClockPosition(hour)).value(), 0.0, 1e-12) << hour;
        EXPECT_NEAR(ClockPosition(hour).radians(), angle, 1e-12) << hour;
    }
}

TEST(ClockPosition, stays_below_twelve_also_just_before_it) {
    for (const double hours : {-1e-18, -1e-300, 12.0 - 1e-16, 24.0, -12.0, 1e9 + 0.5, -1e9}) {
        EXPECT_GE(ClockPosition(hours).hours(), 0.0) << hours;
        EXPECT_LT(ClockPosition(hours).hours(), 12.0) << hours;
    }
    EXPECT_EQ(ClockPosition(12.0), ClockPosition(0.0));
}

TEST(ClockPosition, ways_round_the_dial_both_ways_add_up_to_twelve) {
    for (double a = 0.25; a < 12.0; a += 1.5)
        for (double b = 0.0; b < 12.0; b += 0.75) {
            const ClockPosition from(a), to(b);
            if (from == to) continue;
            EXPECT_NEAR(from.clockwise_to(to).value() + to.clockwise_to(from).value(), 12.0, 1e-12);
            EXPECT_NEAR(from.distance_to(to).value(), std::min(from.clockwise_to(to).value(), to.clockwise_to(from).value()), 1e-12);
        }
}

// Seen from the front the two eyes mirror each other at the nose: hour h in one is hour 12 - h in the other.
TEST(ClockPosition, mirrored_eyes_share_their_words) {
    for (double hour = 0.1; hour < 12.0; hour += 0.35)
        EXPECT_EQ(quadrant_in_words(ClockPosition(hour), Eye::right), quadrant_in_words(ClockPosition(12.0 - hour), Eye::left)) << hour;
}

}  // namespace perisclera
