// SPDX-License-Identifier: Apache-2.0
// Which CT numbers two materials share, against reference_values rows 1.06 (measured: one rubber of 165 HU at 120 kV has 261 at 80) and 1.12 (calculated: hydrogel as sold 149 HU); and that a
// bound asked of those that share one leaves the others out.
#include "alike_on_ct.h"

#include <gtest/gtest.h>

namespace perisclera::material_sweep {

TEST(AlikeOnCt, the_ends_are_those_of_the_reference_values) {
    TrueSignals signals;
    constexpr double of_calculation = 6.0;   // HU: another effective energy
    EXPECT_NEAR(firm_hydrogel_on_ct(120.0, signals).high, 149.0, of_calculation);
    EXPECT_NEAR(lightly_filled_on_ct(120.0, signals).high, 170.0, of_calculation);
    EXPECT_LT(lightly_filled_on_ct(80.0, signals).low, 261.0);
    EXPECT_GT(lightly_filled_on_ct(80.0, signals).high, 261.0);
}

TEST(AlikeOnCt, at_low_voltage_nothing_is_alike_and_at_120_what_both_show) {
    TrueSignals signals;
    for (const double hu : {100.0, 150.0, 200.0, 250.0}) EXPECT_FALSE(holds(alike_on_ct(80.0, signals), hu));
    EXPECT_TRUE(holds(alike_on_ct(120.0, signals), 140.0));
    EXPECT_FALSE(holds(alike_on_ct(120.0, signals), 165.0)) << "above any hydrogel";
}

}  // namespace perisclera::material_sweep
