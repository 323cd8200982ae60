// SPDX-License-Identifier: Apache-2.0
// Ranges of CT numbers of what fills globes, against the published and calculated figures that they must hold. Rows are those of the project's table of
// reference values, which names the sources.
#include <gtest/gtest.h>

#include "perisclera/physics/intraocular_fluids.h"

namespace perisclera {

// Row 2.02, calculated: 279, 115, 85, 61 HU at 50, 65, 70, 75 keV. Effective energies: 62 keV at 80 kVp, 72 at 100, 70 to 79 at 120, 79 at 140, from silicones
// measured in a small object (head of section 6); at most about 10 keV less where the beam is filtered less. Row 6.01 at 62, 72, 79 keV: 145, 81, 52 HU.
TEST(IntraocularFluids, silicone_oil_holds_the_calculated_numbers_of_each_voltage) {
    for (const double hu : {115.0, 85.0, 61.0, 52.0}) EXPECT_TRUE(silicone_oil_hu(120.0).holds(hu)) << hu;
    EXPECT_TRUE(silicone_oil_hu(80.0).holds(145.0));
    EXPECT_TRUE(silicone_oil_hu(100.0).holds(81.0));
    EXPECT_TRUE(silicone_oil_hu(140.0).holds(52.0));
    EXPECT_FALSE(silicone_oil_hu(140.0).holds(279.0)) << "50 keV is no effective energy of 140 kVp";
}

// Row 6.12: every silicone falls steeply from low to high energy.
TEST(IntraocularFluids, silicone_oil_falls_with_voltage) {
    for (double kvp = 70.0; kvp < 150.0; kvp += 1.0) {
        EXPECT_GE(silicone_oil_hu(kvp).low, silicone_oil_hu(kvp + 1.0).low) << kvp;
        EXPECT_GE(silicone_oil_hu(kvp).high, silicone_oil_hu(kvp + 1.0).high) << kvp;
    }
    EXPECT_GT(silicone_oil_hu(80.0).low, silicone_oil_hu(140.0).high) << "a pair of voltages leaves no doubt";
}

// Rows 4.25 (clotted blood 50 to 75 HU), 2.09 (gas -994), 2.11 (heavy liquids 585 and 735); vitreous of a real head 12 to 20 HU.
TEST(IntraocularFluids, published_and_calculated_figures_lie_in_their_range_alone) {
    const auto ranges = {watery_hu(), blood_hu(), gas_hu(), heavy_liquid_hu()};
    const auto only = [&](HuRange own, double hu) {
        int held = 0;
        for (const HuRange& range : ranges) held += range.holds(hu);
        return own.holds(hu) && held == 1;
    };
    for (const double hu : {12.0, 20.0}) EXPECT_TRUE(only(watery_hu(), hu)) << hu;
    for (const double hu : {50.0, 75.0}) EXPECT_TRUE(only(blood_hu(), hu)) << hu;
    EXPECT_TRUE(only(gas_hu(), -994.0));
    for (const double hu : {585.0, 735.0}) EXPECT_TRUE(only(heavy_liquid_hu(), hu)) << hu;
}

TEST(FluidSet, holds_what_it_was_given_and_names_it_from_light_to_heavy) {
    const FluidSet set{Fluid::haemorrhage, Fluid::silicone_oil};
    EXPECT_EQ(in_words(set), "silicone oil or blood");
    EXPECT_TRUE((set & FluidSet{Fluid::silicone_oil, Fluid::gas}).is_only(Fluid::silicone_oil));
    EXPECT_TRUE(set.without({Fluid::silicone_oil}).is_only(Fluid::haemorrhage));
    EXPECT_TRUE((set & FluidSet{Fluid::vitreous}).empty());
    EXPECT_EQ(FluidSet::all().size(), fluid_count);
}

}  // namespace perisclera
