// SPDX-License-Identifier: Apache-2.0
// What of a report is taken for the element of the truth.
#include "tests/bank/said.h"

#include <gtest/gtest.h>

namespace perisclera::bank {

using nlohmann::json;

json quantity(double value) { return {{"value", value}, {"ci95", {value - 0.1, value + 0.1}}}; }
json said_hours(double from, double span) { return {{"from", quantity(from)}, {"span_hours", quantity(span)}}; }
json true_hours(double from, double span) { return {{"from", from}, {"span_hours", span}}; }

TEST(Said, is_a_value_with_its_interval_or_nothing) {
    EXPECT_TRUE(said(quantity(3.0))->holds(3.1));
    EXPECT_FALSE(said(quantity(3.0))->holds(3.2));
    EXPECT_FALSE(said({{"value", nullptr}, {"why", "hidden"}}));
}

TEST(AtThePlace, is_the_same_middle_within_two_hours_also_across_twelve_o_clock) {
    EXPECT_TRUE(at_the_place(said_hours(11.0, 3.0), true_hours(0.3, 3.0)));
    EXPECT_FALSE(at_the_place(said_hours(2.0, 3.0), true_hours(5.0, 3.0)));
    EXPECT_TRUE(at_the_place(said_hours(9.0, 7.0), true_hours(0.0, 12.0))) << "more than half of a ring";
    EXPECT_FALSE(at_the_place(said_hours(9.0, 3.0), true_hours(0.0, 12.0)));
}

}  // namespace perisclera::bank
