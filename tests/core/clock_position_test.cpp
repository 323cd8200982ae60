// SPDX-License-Identifier: Apache-2.0
#include "perisclera/core/clock_position.h"

#include <gtest/gtest.h>

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

}  // namespace perisclera
