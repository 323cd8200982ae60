// SPDX-License-Identifier: Apache-2.0
// Names of what fills a globe, from readings as published, calculated or common practice gives them. Rows are those of the project's table of reference
// values, which names the sources: 2.01 (oil floats, a crescent of fluid behind it), 2.02 (oil 279, 115, 85, 61 HU at 50, 65, 70, 75 keV), 2.03 (oil brighter
// than vitreous on T1), 2.07 (gas floats), 2.09 (gas -994 HU), 2.10 (perfluorocarbon sinks), 2.11 (585 and 735 HU), 2.20 (acrylic glass 119 HU), 4.25 (blood
// unclotted 13 to 50, clotted 50 to 75 HU), 5.20 (vitreous low on T1, high on T2).
#include <gtest/gtest.h>

#include "perisclera/anatomy/globe_contents.h"

namespace perisclera {

namespace {

using Label = ContentsOpinion::Label;

CavityReading even(double value) { return EvenCavity{{value, 5.0}}; }

CavityReading layers(double upper, double lower, double share_above = 0.5) {
    return LayeredCavity{{upper, 5.0}, {lower, 5.0}, Measured<Fraction>::from_standard_uncertainty(Fraction(share_above), Fraction(0.05)), Measured<Mm>::from_standard_uncertainty(Mm(10.0), Mm(0.5)), {{0, 0, 0}, {0, 1, 0}}};
}

CavityView ct(CavityReading cavity, double kvp = 120.0) { return {std::move(cavity), Modality::ct, SeriesRole::ct_soft, kvp, 0.0, 0.0, 12.1, 2.5, std::nullopt}; }

/// Signals relative to the brightest tissue of the orbit; muscle has four tenths of it (c04 and adult head of the shared data: 0.3 to 0.6).
CavityView mr(SeriesRole role, CavityReading cavity) { return {std::move(cavity), Modality::mr, role, 120.0, 1.0, 0.4, 12.1, 0.0, std::nullopt}; }

Label label(const std::vector<CavityView>& views) { return judge_contents(views).label; }

}  // namespace

TEST(GlobeContents, of_one_fluid_on_ct_are_named_where_the_number_leaves_no_other) {
    for (const double hu : {9.0, 12.0, 20.0}) EXPECT_EQ(label({ct(even(hu))}), Label::vitreous) << hu;
    EXPECT_EQ(label({ct(even(-994.0))}), Label::gas);
    for (const auto& [kvp, hu] : {std::pair{120.0, 115.0}, {120.0, 91.0}, {100.0, 130.0}, {80.0, 145.0}, {80.0, 200.0}}) EXPECT_EQ(label({ct(even(hu), kvp)}), Label::silicone_oil) << hu;
}

TEST(GlobeContents, are_undetermined_where_the_number_fits_several) {
    EXPECT_EQ(label({ct(even(61.0))}), Label::undetermined) << "oil at 75 keV, or clotted blood";
    EXPECT_EQ(label({ct(even(66.0), 140.0)}), Label::undetermined);
    EXPECT_EQ(label({ct(even(26.0))}), Label::undetermined) << "unclotted blood, or fluid read high";
    for (const double hu : {-200.0, -60.0, 300.0, 585.0, 735.0, 1500.0}) EXPECT_EQ(label({ct(even(hu))}), Label::undetermined) << hu;
    EXPECT_NE(judge_contents({ct(even(585.0))}).why.find("heavy liquid"), std::string::npos) << "no label of the file format, so it is told in words";
    EXPECT_NE(judge_contents({ct(even(61.0))}).why.find("silicone oil, blood"), std::string::npos);
}

// Row 6.12: silicones fall steeply with energy, blood does not.
TEST(GlobeContents, a_second_voltage_tells_oil_from_blood) {
    EXPECT_EQ(label({ct(even(66.0), 140.0), ct(even(190.0), 80.0)}), Label::silicone_oil);
    EXPECT_EQ(label({ct(even(56.0), 140.0), ct(even(58.0), 80.0)}), Label::haemorrhage);
    EXPECT_EQ(label({ct(even(61.0), 120.0), ct(even(58.0), 80.0)}), Label::haemorrhage);
}

TEST(GlobeContents, what_floats_is_oil_or_gas_and_what_sinks_is_not) {
    const ContentsOpinion oil = judge_contents({ct(layers(61.0, 9.0))});
    EXPECT_EQ(oil.label, Label::mixed);
    ASSERT_TRUE(oil.level);
    EXPECT_TRUE(oil.level->above.is_only(Fluid::silicone_oil)) << "which its number alone would not tell";
    EXPECT_TRUE(oil.level->below.is_only(Fluid::vitreous));
    const ContentsOpinion blood = judge_contents({ct(layers(9.0, 61.0))});
    EXPECT_EQ(blood.label, Label::mixed);
    ASSERT_TRUE(blood.level);
    EXPECT_TRUE(blood.level->below.is_only(Fluid::haemorrhage));
    const ContentsOpinion heavy = judge_contents({ct(layers(9.0, 585.0))});
    EXPECT_EQ(heavy.label, Label::mixed);
    ASSERT_TRUE(heavy.level);
    EXPECT_TRUE(heavy.level->below.is_only(Fluid::heavy_liquid));
    EXPECT_EQ(label({ct(layers(9.0, -994.0))}), Label::undetermined) << "gas does not sink";
    EXPECT_EQ(label({ct(layers(9.0, 120.0))}), Label::undetermined) << "oil does not sink, and blood is not so dense";
}

// Row 2.01: the fluid behind the oil is a crescent.
TEST(GlobeContents, a_filling_over_a_crescent_of_fluid_has_its_own_name) {
    EXPECT_EQ(label({ct(layers(91.0, 9.0, 0.9))}), Label::silicone_oil);
    EXPECT_EQ(label({ct(layers(-994.0, 9.0, 0.85))}), Label::gas);
    EXPECT_EQ(label({ct(layers(-994.0, 9.0, 0.02))}), Label::mixed) << "the least bubble of gas matters";
    EXPECT_EQ(label({ct(layers(5.0, 19.0))}), Label::vitreous) << "both are watery";
}

TEST(GlobeContents, a_small_or_chamberless_ball_is_not_called_an_eye_full_of_oil) {
    CavityView ball = ct(even(119.0));
    ball.outer_radius_mm = 10.0;
    EXPECT_EQ(label({ball}), Label::undetermined);
    ball = ct(even(119.0));
    ball.chamber_mm = 0.5;
    EXPECT_EQ(label({ball}), Label::undetermined);
}

TEST(GlobeContents, fluid_read_high_in_both_eyes_alike_is_fluid) {
    CavityView high = ct(even(26.0));
    high.fellow = 24.0;
    EXPECT_EQ(label({high}), Label::vitreous);
    high.fellow = 9.0;
    EXPECT_EQ(label({high}), Label::undetermined);
}

// Real heads: vitreous has 0.18 to 0.31 of fat's signal on T1, 1.4 to 2.3 on T2 (heads and cases of the shared data).
TEST(GlobeContents, vitreous_is_told_on_t1_and_on_t2) {
    for (const double t1 : {0.18, 0.31}) EXPECT_EQ(label({mr(SeriesRole::t1, even(t1))}), Label::vitreous) << t1;
    for (const double t2 : {1.44, 2.3}) EXPECT_EQ(label({mr(SeriesRole::t2, even(t2))}), Label::vitreous) << t2;
}

TEST(GlobeContents, on_mr_what_is_not_vitreous_is_named_by_what_floats_only) {
    EXPECT_EQ(label({mr(SeriesRole::t1, even(0.5))}), Label::undetermined) << "oil, or blood";
    EXPECT_EQ(label({mr(SeriesRole::t2, even(0.5))}), Label::undetermined);
    EXPECT_EQ(label({mr(SeriesRole::t1, even(0.02)), mr(SeriesRole::t2, even(0.02))}), Label::undetermined) << "gas, or heavy liquid";
    const ContentsOpinion oil = judge_contents({mr(SeriesRole::t1, layers(0.5, 0.2))});
    ASSERT_TRUE(oil.level);
    EXPECT_TRUE(oil.level->above.is_only(Fluid::silicone_oil));
    const ContentsOpinion gas = judge_contents({mr(SeriesRole::t2, layers(0.01, 1.5))});
    ASSERT_TRUE(gas.level);
    EXPECT_TRUE(gas.level->above.is_only(Fluid::gas));
    const ContentsOpinion settled = judge_contents({mr(SeriesRole::t1, layers(0.2, 0.5))});
    ASSERT_TRUE(settled.level);
    EXPECT_FALSE(settled.level->below.holds(Fluid::silicone_oil));
    EXPECT_TRUE(settled.level->below.holds(Fluid::haemorrhage));
}

// Oil is suppressed with fat: their frequencies lie 1.2 ppm apart (row 5.13).
TEST(GlobeContents, series_that_do_not_tell_are_not_asked) {
    for (const SeriesRole role : {SeriesRole::t1_fatsat, SeriesRole::t1_contrast_fatsat, SeriesRole::flair, SeriesRole::dwi, SeriesRole::gre, SeriesRole::unknown, SeriesRole::pd})
        EXPECT_EQ(label({mr(role, even(0.5))}), Label::undetermined) << name(role);
    EXPECT_EQ(label({mr(SeriesRole::flair, even(0.5)), ct(even(9.0))}), Label::vitreous);
    EXPECT_EQ(label({}), Label::undetermined);
}

TEST(GlobeContents, of_a_visit_are_what_all_its_series_allow) {
    EXPECT_EQ(label({ct(even(91.0)), mr(SeriesRole::t1, even(0.5)), mr(SeriesRole::t2, even(0.5))}), Label::silicone_oil);
    EXPECT_EQ(label({ct(even(26.0)), mr(SeriesRole::t1, even(0.2))}), Label::vitreous);
    EXPECT_EQ(label({ct(layers(-994.0, 9.0)), mr(SeriesRole::t1, layers(0.02, 0.2))}), Label::mixed);
    const ContentsOpinion contradiction = judge_contents({ct(even(9.0)), mr(SeriesRole::t1, even(0.5))});
    EXPECT_EQ(contradiction.label, Label::undetermined);
    EXPECT_NE(contradiction.why.find("contradict"), std::string::npos);
    EXPECT_EQ(label({ct(layers(91.0, 9.0)), mr(SeriesRole::t1, even(0.02))}), Label::undetermined);
}

TEST(GlobeContents, uneven_ones_are_named_where_all_of_it_has_one_name_or_oil_and_gas_leave_no_room) {
    EXPECT_EQ(label({ct(UnevenCavity{{12.0, 5.0}, 0.9, 4.0, 20.0})}), Label::vitreous) << "shading";
    EXPECT_EQ(label({ct(UnevenCavity{{91.0, 5.0}, 0.85, 20.0, 92.0})}), Label::silicone_oil) << "a crescent of fluid, blurred";
    EXPECT_EQ(label({ct(UnevenCavity{{91.0, 5.0}, 0.6, 9.0, 92.0})}), Label::undetermined);
    EXPECT_EQ(label({ct(UnevenCavity{{9.0, 5.0}, 0.85, 8.0, 55.0})}), Label::undetermined) << "settled blood, or wall";
}

}  // namespace perisclera
