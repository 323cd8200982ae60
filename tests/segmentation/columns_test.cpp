// SPDX-License-Identifier: Apache-2.0
// The plane of columns: cyclic along the clock, open along the meridian (set theory, nothing else).
#include <algorithm>

#include <gtest/gtest.h>

#include "src/segmentation/columns.h"

namespace perisclera {

namespace {

constexpr int last_clock = PolarBlock::clock_count - 1, last_polar = PolarBlock::polar_count - 1;

ColumnMask of(std::initializer_list<ColumnAt> at) {
    ColumnMask mask(column_count, 0);
    for (const ColumnAt& c : at) mask[column(c.clock, c.polar)] = 1;
    return mask;
}

}  // namespace

TEST(Columns, widening_crosses_twelve_o_clock_but_not_the_ends_of_the_meridian) {
    const ColumnMask wide = widened(of({{0, 0}}), 2, 3);
    EXPECT_EQ(std::count(wide.begin(), wide.end(), 1), 5 * 4);
    EXPECT_TRUE(wide[column(last_clock - 1, 3)]);
    EXPECT_FALSE(wide[column(0, last_polar)]);
}

TEST(Columns, closing_fills_a_gap_and_nothing_else) {
    const ColumnMask apart = of({{10, 40}, {14, 40}});
    const ColumnMask closed = narrowed(widened(apart, 2, 0), 2, 0);
    EXPECT_EQ(std::count(closed.begin(), closed.end(), 1), 5);
    EXPECT_TRUE(closed[column(12, 40)]);
}

TEST(Columns, parts_touch_across_twelve_o_clock) {
    EXPECT_EQ(connected_columns(of({{0, 5}, {last_clock, 5}, {last_clock, 6}})).size(), 1U);
    EXPECT_EQ(connected_columns(of({{0, 5}, {1, 6}})).size(), 2U) << "corners do not touch";
    EXPECT_EQ(connected_columns(of({{3, 0}, {3, last_polar}})).size(), 2U);
}

}  // namespace perisclera
