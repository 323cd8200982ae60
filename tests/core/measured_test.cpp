// SPDX-License-Identifier: Apache-2.0
#include "perisclera/core/measured.h"

#include <gtest/gtest.h>

#include <limits>
#include <string>

namespace perisclera {

// 95 % of a normal distribution lie within 1.96 standard deviations: ISO/IEC Guide 98-3 (GUM), table G.1.
TEST(Measured, interval_of_a_standard_uncertainty_is_1_96_wide_each_way) {
    const auto m = Measured<Mm>::from_standard_uncertainty(Mm(10.0), Mm(0.5));
    EXPECT_NEAR(m.low().value(), 9.02, 1e-12);
    EXPECT_NEAR(m.high().value(), 10.98, 1e-12);
    EXPECT_NEAR(m.standard_uncertainty().value(), 0.5, 1e-12);
}

TEST(Measured, interval_may_be_lopsided) {
    const Measured<Mm3> m(Mm3(100.0), Mm3(90.0), Mm3(140.0));
    EXPECT_EQ(m.value(), Mm3(100.0));
    EXPECT_EQ(m.low(), Mm3(90.0));
    EXPECT_EQ(m.high(), Mm3(140.0));
}

TEST(MeasuredDeathTest, value_outside_its_interval_or_not_a_number_stops_the_program) {
    EXPECT_DEATH((Measured<Mm>(Mm(1.0), Mm(2.0), Mm(3.0))), "");
    EXPECT_DEATH((Measured<Mm>(Mm(4.0), Mm(2.0), Mm(3.0))), "");
    const Mm nan(std::numeric_limits<double>::quiet_NaN());
    EXPECT_DEATH((Measured<Mm>(nan, nan, nan)), "");
}

struct InWords {
    std::string operator()(const Measured<Mm>& m) const { return std::to_string(static_cast<int>(m.value().value())) + " mm"; }
    std::string operator()(const Unmeasured& u) const { return u.why; }
};

TEST(Measurement, is_either_a_value_or_the_reason_why_there_is_none) {
    const Measurement<Mm> thickness = Measured<Mm>(Mm(2.0), Mm(1.0), Mm(3.0));
    ASSERT_TRUE(thickness.has_value());
    EXPECT_EQ(thickness.measured()->value(), Mm(2.0));
    EXPECT_EQ(thickness.unmeasured(), nullptr);
    EXPECT_EQ(thickness.visit(InWords{}), "2 mm");

    const Measurement<Mm> missing = Unmeasured{"the slices are too thick"};
    EXPECT_FALSE(missing.has_value());
    EXPECT_EQ(missing.measured(), nullptr);
    EXPECT_EQ(missing.visit(InWords{}), "the slices are too thick");
}

}  // namespace perisclera
