// SPDX-License-Identifier: Apache-2.0
// The table of materials against the published and calculated figures it must agree with; each source is named beside its figures.
#include <gtest/gtest.h>

#include "perisclera/physics/material_table.h"

namespace perisclera {

// One rubber measured from 80 to 140 kV: 261, 190, 165, 156 HU (J Digit Imaging 2020, doi 10.1007/s10278-020-00358-6).
TEST(MaterialTable, silicone_falls_with_tube_voltage_as_measured) {
    const double at_120 = 165.0;
    for (const auto& [kvp, hu] : {std::pair{80.0, 261.0}, {100.0, 190.0}, {120.0, 165.0}, {140.0, 156.0}}) EXPECT_NEAR(silicone_voltage_factor(kvp) * at_120, hu, 0.5);
    for (double kvp = 70.0; kvp < 150.0; kvp += 1.0) EXPECT_GE(silicone_voltage_factor(kvp), silicone_voltage_factor(kvp + 1.0));
}

// Thirteen rubbers at 120 kV: 112 to 271 HU, mean 191 (same source).
TEST(MaterialTable, silicone_covers_the_rubbers_measured) {
    const Expected e = solid_silicone_hu(120.0);
    EXPECT_NEAR(e.mean, 191.0, 0.5);
    EXPECT_LE(e.mean - 1.96 * e.spread, 112.0);
    EXPECT_GE(e.mean + 1.96 * e.spread, 271.0);
}

// Silicone foam of 0.24 to 0.67 g/cm3: -737 to -265 HU (calculated from the mass of silicone in a voxel).
TEST(MaterialTable, sponge_covers_its_range_of_density_and_stays_below_fat) {
    const Expected e = sponge_hu();
    EXPECT_LE(e.mean - 1.96 * e.spread, -737.0);
    EXPECT_NEAR(e.mean + 1.96 * e.spread, -265.0, 0.1 * e.spread) << "the densest foam, to a tenth of the spread";
    EXPECT_LT(e.mean + 1.96 * e.spread, -140.0) << "the lowest fat";
}

// Co-poly(methyl acrylate / hydroxyethyl acrylate), dry density 1.25 g/cm3, at 70 keV: calculated.
TEST(MaterialTable, hydrogel_falls_with_water_as_calculated) {
    for (const auto& [water, hu] : {std::pair{0.15, 149.0}, {0.30, 121.0}, {0.50, 86.0}, {0.70, 54.0}, {0.80, 38.0}, {0.90, 24.0}, {0.95, 17.0}})
        EXPECT_NEAR(hydrogel_hu(water).mean, hu, hydrogel_hu(water).spread) << water;
    for (double water = 0.15; water < 0.94; water += 0.01) EXPECT_GT(hydrogel_hu(water).mean, hydrogel_hu(water + 0.01).mean);
}

// T2 of 1 to 6 ms at 10 % water (Korean HEMA NMR study 1995): exp(-100 / 6) of the signal is left. Swollen it is hyperintense (Bhagat N et al., Br
// J Ophthalmol 2005;89:1380); signal goes with water (McConville, Polymer 2000;41:9081-9088).
TEST(MaterialTable, hydrogel_brightens_on_mr_as_it_swells) {
    EXPECT_LT(hydrogel_t2_to_vitreous(0.15).mean, 0.05);
    EXPECT_GT(hydrogel_t2_to_vitreous(0.95).mean, 0.9);
    for (double water = 0.15; water < 0.94; water += 0.01) {
        EXPECT_LE(hydrogel_t2_to_vitreous(water).mean, hydrogel_t2_to_vitreous(water + 0.01).mean);
        EXPECT_LE(hydrogel_t1_to_vitreous(water).mean, hydrogel_t1_to_vitreous(water + 0.01).mean);
    }
}

TEST(MaterialTable, silicone_shows_nothing_on_mr) {
    EXPECT_LT(silicone_mr_to_vitreous().mean + 1.96 * silicone_mr_to_vitreous().spread, 0.25);
}

}  // namespace perisclera
