// SPDX-License-Identifier: Apache-2.0
// Sectors of a shell, drawn; what lies within what follows from their ends.
#include <numbers>

#include <gtest/gtest.h>

#include "perisclera/timeline/part_of_element.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

constexpr double degrees = std::numbers::pi / 180.0;

FoundElement arc(double from, double span, double nearest_deg = 70.0, double farthest_deg = 90.0) {
    return test::element_of({from, span, nearest_deg * degrees, farthest_deg * degrees, 0.0, 2.0}, Appearance::ct_bright, 190.0, -90.0);
}

}  // namespace

TEST(PartOfElement, an_arc_of_a_ring_lies_within_it_and_the_ring_not_within_the_arc) {
    const FoundElement ring = arc(0.0, 12.0), piece = arc(11.0, 4.0);
    EXPECT_DOUBLE_EQ(share_within(piece, ring), 1.0);
    // Four hours and half an hour at either end, of twelve; to a tenth of an hour, the grid's step.
    EXPECT_NEAR(share_within(ring, piece), 5.0 / 12.0, 0.2 / 12.0);
}

TEST(PartOfElement, what_lies_behind_or_beside_lies_not_within) {
    const FoundElement front = arc(1.0, 3.0, 60.0, 75.0);
    EXPECT_DOUBLE_EQ(share_within(arc(1.0, 3.0, 90.0, 105.0), front), 0.0);
    EXPECT_DOUBLE_EQ(share_within(arc(7.0, 3.0, 60.0, 75.0), front), 0.0);
}

TEST(PartOfElement, frames_that_differ_by_a_millimetre_change_nothing) { EXPECT_DOUBLE_EQ(share_within(arc(1.2, 2.8, 74.0, 94.0), arc(1.0, 3.0)), 1.0); }

}  // namespace perisclera
