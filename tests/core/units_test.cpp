// SPDX-License-Identifier: Apache-2.0
#include "perisclera/core/units.h"

#include <gtest/gtest.h>

#include <type_traits>

namespace perisclera {

TEST(Units, products_of_lengths_are_areas_and_volumes) {
    static_assert(std::is_same_v<decltype(Mm(1.0) * Mm(1.0)), Mm2>);
    static_assert(std::is_same_v<decltype(Mm(1.0) * Mm(1.0) * Mm(1.0)), Mm3>);
    static_assert(std::is_same_v<decltype(Mm(1.0) * Mm2(1.0)), Mm3>);
    static_assert(std::is_same_v<decltype(Hu(1.0) * Mm(1.0)), HuMm>);
    EXPECT_EQ(Mm(2.0) * Mm(3.0), Mm2(6.0));
    EXPECT_EQ(Mm2(6.0) * Mm(4.0), Mm3(24.0));
    EXPECT_EQ(Hu(300.0) * Mm(0.6), HuMm(180.0));
}

TEST(Units, quotient_of_equal_units_is_a_bare_ratio) {
    static_assert(std::is_same_v<decltype(Mm(1.0) / Mm(1.0)), double>);
    EXPECT_EQ(Mm(6.0) / Mm(4.0), 1.5);
    EXPECT_EQ(Mm(6.0) / 4.0, Mm(1.5));
}

TEST(Units, sums_scale_and_compare_within_one_unit) {
    EXPECT_EQ(Mm(1.5) + Mm(2.5) - Mm(1.0), Mm(3.0));
    EXPECT_EQ(2.0 * Hu(-50.0), Hu(-100.0));
    EXPECT_EQ(-Hu(7.0), Hu(-7.0));
    EXPECT_LT(Degrees(3.0), Degrees(4.0));
}

}  // namespace perisclera
