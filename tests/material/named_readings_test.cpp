// SPDX-License-Identifier: Apache-2.0
// Further rows of the sign table (common practice, no source).
#include <algorithm>
#include <numeric>
#include <vector>

#include <gtest/gtest.h>

#include "perisclera/material/material_opinion.h"

namespace perisclera {

namespace {

using K = EvidenceKind;
Reading r(K k, double v, double u) { return {k, 0, v, u, 120.0}; }
void sums_to_one(const MaterialOpinion& o) {
    EXPECT_NEAR(std::accumulate(o.probability.begin(), o.probability.end(), 0.0), 1.0, 1e-12);
}

}  // namespace

// Common practice, no source. CT 30 HU, T2 ratio 0.9, T1 ratio 1.3, 5 mm, along the wall over three clock hours.
TEST(NamedReadings, hydrogel) {
    const auto o = judge_material({r(K::ct_number, 30, 8), r(K::t2_ratio, 0.9, 0.08), r(K::t1_ratio, 1.3, 0.15), r(K::section_thickness, 5, 0.4), r(K::fits_wall, 3, 0.2)});
    sums_to_one(o);
    EXPECT_EQ(o.label, MaterialClass::hydrogel);
}

// Swollen hydrogel was taken for a fluid cyst (Bhagat N et al., Br J Ophthalmol 2005;89:1380; Shields CL et al., as told in reference_values 1.15), so a cyst can be taken for hydrogel: water on
// CT, 0 to 20 HU, as bright as vitreous on T1 and T2 (common practice, no source).
TEST(NamedReadings, a_small_cyst_on_the_wall_is_not_called_hydrogel) {
    for (const double hounsfield : {0.0, 8.0, 15.0}) {
        const auto o = judge_material({r(K::ct_number, hounsfield, 8), r(K::t2_ratio, 1.0, 0.08), r(K::t1_ratio, 1.0, 0.15), r(K::section_thickness, 4, 0.4), r(K::fits_wall, 1.3, 0.2)});
        sums_to_one(o);
        EXPECT_NE(o.label, MaterialClass::hydrogel) << hounsfield << " HU";
        EXPECT_EQ(std::max_element(o.look_alike_share.begin(), o.look_alike_share.end()) - o.look_alike_share.begin(), static_cast<std::ptrdiff_t>(LookAlike::fluid));
    }
}

// Wood reads -618 to +23 HU, one splinter -434 to -446 HU and was taken for gas (Myllyla V et al., Rofo 1987;146:639-643), within a sponge's range; dry wood gives no signal on
// MR (common practice, no source). A sponge is sewn onto the sclera, a splinter need not touch it.
TEST(NamedReadings, wood_that_stands_off_the_wall_is_not_called_sponge) {
    const auto at = [](double off_wall) {
        return judge_material({r(K::ct_number, -440, 25), r(K::t2_ratio, 0.05, 0.1), r(K::section_thickness, 3, 0.3), r(K::fits_wall, 0.5, 0.1), r(K::off_wall, off_wall, 0.35)});
    };
    const auto wood = at(1.5);
    sums_to_one(wood);
    EXPECT_NE(wood.label, MaterialClass::silicone_sponge);
    EXPECT_NE(std::find(wood.candidates.begin(), wood.candidates.end(), MaterialClass::other), wood.candidates.end());
    EXPECT_EQ(std::max_element(wood.look_alike_share.begin(), wood.look_alike_share.end()) - wood.look_alike_share.begin(), static_cast<std::ptrdiff_t>(LookAlike::airy));
    EXPECT_EQ(at(-0.5).label, MaterialClass::silicone_sponge);
}

// A sponge shows its number and no signal on MR (table 10.02: common practice, no source); a globe fitted 2.5 mm too high beside it must not make it something else for certain.
TEST(NamedReadings, a_globe_fitted_wrongly_leaves_a_sponge_in_doubt) {
    const MaterialOpinion o = judge_material({r(K::ct_number, -550, 35), r(K::t2_ratio, 0.1, 0.12), r(K::section_thickness, 3.5, 0.2), r(K::fits_wall, 2.0, 0.1), r(K::off_wall, 2.0, 0.43)});
    EXPECT_NE(o.label, MaterialClass::other);
    EXPECT_NE(o.label, MaterialClass::silicone_sponge);
    EXPECT_NE(std::find(o.candidates.begin(), o.candidates.end(), MaterialClass::silicone_sponge), o.candidates.end());
}

TEST(NamedReadings, sponge_and_solid) {
    const auto s = judge_material({r(K::ct_number, -550, 20), r(K::section_thickness, 4, 0.3)});
    sums_to_one(s);
    EXPECT_EQ(s.label, MaterialClass::silicone_sponge);
    const auto t = judge_material({r(K::ct_number, 200, 12)});
    sums_to_one(t);
    EXPECT_EQ(t.label, MaterialClass::solid_silicone);
}

TEST(NamedReadings, dark_on_mr) {
    const auto o = judge_material({r(K::t1_ratio, 0.06, 0.08), r(K::t2_ratio, 0.05, 0.08)});
    sums_to_one(o);
    EXPECT_FALSE(o.label);
    auto c = o.candidates;
    std::sort(c.begin(), c.end());
    EXPECT_EQ(c, (std::vector{MaterialClass::solid_silicone, MaterialClass::silicone_sponge}));
    EXPECT_EQ(o.next, NextStep::ct);
}
// Hydrogel as sold and a lightly filled silicone both read 149 HU.
TEST(NamedReadings, firm_hydrogel_of_one_and_a_half_to_two_mm) {
    for (const double thick : {1.5, 1.75, 2.0})
        for (const double u : {4.0, 10.0, 20.0}) {
            const auto o = judge_material({r(K::ct_number, 149, u), r(K::section_thickness, thick, 0.2)});
            sums_to_one(o);
            EXPECT_FALSE(o.label) << thick << ' ' << u;
            EXPECT_TRUE(o.next == NextStep::t2 || o.next == NextStep::second_ct_energy) << thick << ' ' << u << ": row 6.12, a second energy separates silicone from hydrogel";
            for (auto m : {MaterialClass::solid_silicone, MaterialClass::hydrogel}) EXPECT_NE(std::find(o.candidates.begin(), o.candidates.end(), m), o.candidates.end());
        }
}

// Gas beside an element: its "sponge" may be gas itself, in tissue or about wood; of sponges 0.83 % were infected in the orbit (Nemet AY et al., Clin Ophthalmol 2013;7:2147-2152), so that gas is
// rare beside a sponge. Which silicone, or hydrogel, an element is gas does not tell.
TEST(NamedReadings, gas_beside_it_lowers_the_sponge_and_tells_no_explant_from_another) {
    std::vector<Reading> readings{r(K::ct_number, -600, 25), r(K::section_thickness, 3.0, 0.3), r(K::fits_wall, 1.2, 0.2), r(K::off_wall, -0.3, 0.35)};
    const auto odds = [](const MaterialOpinion& o, MaterialClass a, MaterialClass b) { return o.probability[static_cast<std::size_t>(a)] / o.probability[static_cast<std::size_t>(b)]; };
    const auto without = judge_material(readings);
    readings.push_back(r(K::gas_beside, 1.0, 0.0));
    const auto with = judge_material(readings);
    sums_to_one(with);
    EXPECT_LT(odds(with, MaterialClass::silicone_sponge, MaterialClass::other), 0.2 * odds(without, MaterialClass::silicone_sponge, MaterialClass::other));
    EXPECT_NEAR(odds(with, MaterialClass::silicone_sponge, MaterialClass::solid_silicone) / odds(without, MaterialClass::silicone_sponge, MaterialClass::solid_silicone), 1.0, 1e-9);
    EXPECT_FALSE(with.outside_table);
}

}  // namespace perisclera
