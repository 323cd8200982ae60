// SPDX-License-Identifier: Apache-2.0
// Opinions on an element's material against the sign table that radiologists use (common practice, no source; second-hand Lane JI et
// al., RadioGraphics 2003;23:983-994): sponge is gas-dark on CT, solid silicone above soft tissue, both dark on every MR weighting;
// swollen hydrogel is water-like on CT and bright on T2. And what none of these can tell apart must stay undetermined.
#include <algorithm>
#include <cmath>
#include <numeric>
#include <optional>
#include <vector>

#include <gtest/gtest.h>

#include "perisclera/material/material_opinion.h"

namespace perisclera {

namespace {

using Kind = EvidenceKind;

Reading reading(Kind kind, double value, double uncertainty, double kvp = 120.0) { return {kind, 0, value, uncertainty, kvp}; }
/// It follows the wall over three clock hours.
Reading on_the_wall() { return reading(Kind::fits_wall, 3.0, 0.2); }

double probability(const MaterialOpinion& opinion, MaterialClass material) { return opinion.probability[static_cast<std::size_t>(material)]; }

void expect_sound(const MaterialOpinion& opinion) {
    EXPECT_NEAR(std::accumulate(opinion.probability.begin(), opinion.probability.end(), 0.0), 1.0, 1e-12);
    for (const double p : opinion.probability) EXPECT_GE(p, 0.0);
    ASSERT_FALSE(opinion.candidates.empty());
    for (std::size_t i = 1; i < opinion.candidates.size(); ++i) EXPECT_GE(probability(opinion, opinion.candidates[i - 1]), probability(opinion, opinion.candidates[i]));
    if (opinion.label) {
        EXPECT_EQ(*opinion.label, opinion.candidates.front());
        EXPECT_GE(probability(opinion, *opinion.label), label_margin);
    }
    EXPECT_EQ(opinion.water_fraction.has_value(), opinion.label == MaterialClass::hydrogel) << "given for hydrogel only";
}

}  // namespace

TEST(MaterialOpinion, gas_on_ct_is_sponge) {
    const MaterialOpinion opinion = judge_material({reading(Kind::ct_number, -550, 20), reading(Kind::section_thickness, 4.5, 0.3), on_the_wall()});
    expect_sound(opinion);
    EXPECT_EQ(opinion.label, MaterialClass::silicone_sponge);
    EXPECT_EQ(opinion.next, NextStep::none);
}

TEST(MaterialOpinion, two_hundred_units_on_ct_is_solid_silicone) {
    const MaterialOpinion opinion = judge_material({reading(Kind::ct_number, 200, 12), reading(Kind::section_thickness, 2.6, 0.2), on_the_wall()});
    expect_sound(opinion);
    EXPECT_EQ(opinion.label, MaterialClass::solid_silicone);
}

TEST(MaterialOpinion, water_on_ct_and_brightness_on_t2_is_hydrogel_with_its_water) {
    const MaterialOpinion opinion = judge_material({reading(Kind::ct_number, 30, 8), reading(Kind::t2_ratio, 0.9, 0.08), reading(Kind::section_thickness, 6.0, 0.4), on_the_wall()});
    expect_sound(opinion);
    EXPECT_EQ(opinion.label, MaterialClass::hydrogel);
    // 38 HU at 80 % water, 24 HU at 90 % (calculated for a dry density of 1.25 g/cm3).
    const Measured<Fraction>& water = *opinion.water_fraction.measured();
    EXPECT_LE(water.low().value(), 0.86);
    EXPECT_GE(water.high().value(), 0.86);
    EXPECT_NEAR(water.value().value(), 0.86, 0.06);
}

// Neither weighting parts the silicones; CT does at once.
TEST(MaterialOpinion, darkness_on_mr_alone_leaves_the_silicones_and_asks_for_ct) {
    const MaterialOpinion opinion = judge_material({reading(Kind::t1_ratio, 0.06, 0.08), reading(Kind::t2_ratio, 0.05, 0.08), on_the_wall()});
    expect_sound(opinion);
    EXPECT_FALSE(opinion.label.has_value());
    std::vector<MaterialClass> candidates = opinion.candidates;
    std::sort(candidates.begin(), candidates.end());
    EXPECT_EQ(candidates, (std::vector{MaterialClass::solid_silicone, MaterialClass::silicone_sponge}));
    EXPECT_EQ(opinion.next, NextStep::ct);
}

// Whatever a void's extent: a ring is more often a band, and a short piece laid across a sponge (Thompson JT, Michels RG, Arch Ophthalmol 1985;103:1822-1824), but both are dark (row 1.03).
TEST(MaterialOpinion, no_extent_names_one_silicone_on_mr_alone) {
    for (const double hours : {0.8, 3.0, 11.5})
        for (const double thick : {1.6, 4.5}) {
            const std::vector<Reading> dark{reading(Kind::t1_ratio, 0.05, 0.06), reading(Kind::t2_ratio, 0.03, 0.05), reading(Kind::section_thickness, thick, 0.2), reading(Kind::fits_wall, hours, 0.1)};
            const MaterialOpinion opinion = judge_material(dark);
            EXPECT_FALSE(opinion.label == MaterialClass::solid_silicone || opinion.label == MaterialClass::silicone_sponge) << hours << " h, " << thick << " mm";
            for (const MaterialClass m : {MaterialClass::solid_silicone, MaterialClass::silicone_sponge}) EXPECT_NE(std::find(opinion.candidates.begin(), opinion.candidates.end(), m), opinion.candidates.end());
            EXPECT_EQ(opinion.next, NextStep::ct);
        }
}

// Hydrogel as sold, 15 % water, and a lightly filled silicone both read 149 HU at 120 kV.
TEST(MaterialOpinion, firm_hydrogel_and_light_silicone_stay_undetermined_on_one_ct) {
    const MaterialOpinion opinion = judge_material({reading(Kind::ct_number, 149, 10), on_the_wall()});
    expect_sound(opinion);
    EXPECT_FALSE(opinion.label.has_value());
    for (const MaterialClass m : {MaterialClass::solid_silicone, MaterialClass::hydrogel}) EXPECT_NE(std::find(opinion.candidates.begin(), opinion.candidates.end(), m), opinion.candidates.end());
    EXPECT_NE(opinion.next, NextStep::none);
}

TEST(MaterialOpinion, nothing_read_leaves_the_prior_and_no_label) {
    const MaterialOpinion opinion = judge_material({});
    expect_sound(opinion);
    EXPECT_FALSE(opinion.label.has_value());
    for (std::size_t m = 0; m < 4; ++m) EXPECT_DOUBLE_EQ(opinion.probability[m], prior_share[m]);
}

// A lower bound from an element thinner than the blur: what lies above silicone's usual number cannot be sponge or water.
TEST(MaterialOpinion, a_peak_above_soft_tissue_excludes_sponge_and_swollen_hydrogel) {
    const MaterialOpinion opinion = judge_material({reading(Kind::ct_peak, 160, 12), reading(Kind::section_thickness, 0.9, 0.2), reading(Kind::fits_wall, 12.0, 0.0)});
    expect_sound(opinion);
    EXPECT_EQ(opinion.label, MaterialClass::solid_silicone);
    EXPECT_LT(probability(opinion, MaterialClass::silicone_sponge), 0.01);
}

// Bayes: likelihoods multiply, so their order cannot matter; nor can one reading exclude a material for good.
TEST(MaterialOpinion, the_order_of_the_evidence_does_not_matter) {
    std::vector<Reading> readings{reading(Kind::ct_number, 60, 10), reading(Kind::t2_ratio, 0.4, 0.1), reading(Kind::t1_ratio, 0.5, 0.2), reading(Kind::section_thickness, 5, 0.4), on_the_wall()};
    const MaterialOpinion forward = judge_material(readings);
    std::reverse(readings.begin(), readings.end());
    const MaterialOpinion backward = judge_material(readings);
    for (std::size_t m = 0; m < 4; ++m) EXPECT_NEAR(forward.probability[m], backward.probability[m], 1e-9);
}

// Gas on CT, water on T2: none of the three materials shows both.
// What is dark on T2 and, by its place, muscle on T1 may be a void misplaced by a millimetre as well as firm hydrogel.
TEST(MaterialOpinion, a_reading_by_place_alone_excludes_nothing) {
    const std::vector<Reading> dark_on_t2{reading(Kind::t2_ratio, 0.03, 0.06), reading(Kind::section_thickness, 5.8, 0.4), on_the_wall()};
    Reading muscle = reading(Kind::t1_ratio, 2.1, 0.43);
    std::vector<Reading> own = dark_on_t2, carried = dark_on_t2;
    own.push_back(muscle);
    muscle.by_place = true;
    carried.push_back(muscle);
    expect_sound(judge_material(carried));
    EXPECT_EQ(judge_material(own).label, MaterialClass::hydrogel) << "read on the element itself";
    EXPECT_FALSE(judge_material(carried).label);
    EXPECT_GT(probability(judge_material(carried), MaterialClass::silicone_sponge), 0.05);
}

TEST(MaterialOpinion, contradicting_evidence_names_none_of_the_three_materials) {
    const MaterialOpinion opinion = judge_material({reading(Kind::ct_number, -550, 20), reading(Kind::t2_ratio, 1.0, 0.05), on_the_wall()});
    expect_sound(opinion);
    EXPECT_EQ(opinion.label.value_or(MaterialClass::other), MaterialClass::other);
}

TEST(MaterialOpinion, evidence_says_what_each_material_would_show) {
    const MaterialOpinion opinion = judge_material({reading(Kind::ct_number, -550, 20), reading(Kind::t2_ratio, 0.05, 0.05)});
    ASSERT_EQ(opinion.evidence.size(), 2U);
    const auto& ct = opinion.evidence[0];
    const auto& sponge = *ct.expected[static_cast<std::size_t>(MaterialClass::silicone_sponge)];
    EXPECT_LE(sponge[0], -550.0);
    EXPECT_GE(sponge[1], -550.0);
    EXPECT_GT((*ct.expected[static_cast<std::size_t>(MaterialClass::solid_silicone)])[0], 50.0);
    EXPECT_EQ(std::max_element(ct.log_likelihood.begin(), ct.log_likelihood.end()) - ct.log_likelihood.begin(), static_cast<std::ptrdiff_t>(MaterialClass::silicone_sponge));
}

// Soft tissue 50 HU on CT; on T2 muscle is dark and swollen hydrogel nearly as bright as vitreous (common practice, no source).
TEST(MaterialOpinion, a_mass_that_only_holds_off_fat_is_muscle_unless_its_signals_speak_against_it) {
    const auto mass = [](double hounsfield, double t2) {
        Reading on_ct = reading(Kind::ct_number, hounsfield, 10.0), on_t2 = reading(Kind::t2_ratio, t2, 0.1);
        on_ct.muscle = 50.0;
        on_t2.muscle = 0.2;
        return judge_material({on_ct, on_t2, reading(Kind::section_thickness, 5.0, 0.5), reading(Kind::displaces_fat, 2.0, 0.0)});
    };
    const MaterialOpinion like_muscle = mass(50.0, 0.2), like_water = mass(20.0, 0.95);
    expect_sound(like_muscle);
    expect_sound(like_water);
    EXPECT_GT(probability(like_muscle, MaterialClass::other), 0.5);
    EXPECT_EQ(like_water.candidates.front(), MaterialClass::hydrogel);
    EXPECT_GT(probability(like_water, MaterialClass::hydrogel), probability(like_muscle, MaterialClass::hydrogel));
}

// Bayes' rule: the odds of two materials go with their odds before any image is seen.
TEST(MaterialOpinion, another_prior_changes_the_odds_in_its_own_proportion) {
    const std::vector<Reading> readings{reading(Kind::ct_number, 150, 10), reading(Kind::section_thickness, 2.5, 0.3), on_the_wall()};
    constexpr PerClass other_prior{0.20, 0.20, 0.40, 0.20};
    const MaterialOpinion usual = judge_material(readings), changed = judge_material(readings, other_prior);
    const double odds = usual.probability[2] / usual.probability[0], then = changed.probability[2] / changed.probability[0];
    EXPECT_NEAR(then / odds, (other_prior[2] / other_prior[0]) / (prior_share[2] / prior_share[0]), 1e-6);
}

// Row 6.12 of the reference values: silicone falls steeply from low to high energy, hydrogel hardly rises; row 1.06: one rubber of 165 HU at 120 kV has 261 at 80.
TEST(MaterialOpinion, a_second_ct_energy_separates_what_one_leaves_open) {
    const auto at = [](double at_120, std::optional<double> at_80) {
        std::vector<Reading> readings{reading(Kind::ct_number, at_120, 8), reading(Kind::section_thickness, 2.5, 0.2), on_the_wall()};
        if (at_80) readings.push_back(reading(Kind::ct_number, *at_80, 10, 80.0));
        return judge_material(readings);
    };
    EXPECT_FALSE(at(149.0, {}).label);
    EXPECT_EQ(at(149.0, {}).next, NextStep::second_ct_energy);
    EXPECT_EQ(at(149.0, 149.0 * 261.0 / 165.0).label, MaterialClass::solid_silicone);
    EXPECT_EQ(at(149.0, 140.0).label, MaterialClass::hydrogel);
}

// Neither hydrogel nor tissue changes much with the tube voltage (common practice, no source): of what is one of the two another energy tells next to nothing, T2 more.
TEST(MaterialOpinion, a_second_ct_energy_does_not_tell_hydrogel_from_tissue) {
    const MaterialOpinion opinion = judge_material({reading(Kind::ct_number, 74, 9), reading(Kind::section_thickness, 5.0, 1.5), reading(Kind::displaces_fat, 1.0, 0.0)});
    ASSERT_FALSE(opinion.label);
    EXPECT_EQ(opinion.next, NextStep::t2);
    EXPECT_LT(opinion.information[static_cast<std::size_t>(NextStep::second_ct_energy)], opinion.information[static_cast<std::size_t>(NextStep::t2)]);
}

// What a reading tells cannot exceed what is unknown (Shannon's entropy of the classes), and a series at hand tells nothing more. Between two silicones, dark on MR, CT tells nearly all.
TEST(MaterialOpinion, expected_information_lies_between_nothing_and_what_is_unknown) {
    for (const auto& readings : {std::vector<Reading>{reading(Kind::t1_ratio, 0.06, 0.08), reading(Kind::t2_ratio, 0.05, 0.08)}, {reading(Kind::ct_number, 140, 10), on_the_wall()},
                                 {reading(Kind::ct_number, 30, 8), reading(Kind::t2_ratio, 0.9, 0.08), on_the_wall()}}) {
        const MaterialOpinion opinion = judge_material(readings);
        double unknown = 0.0;
        for (const double p : opinion.probability) unknown -= p > 0.0 ? p * std::log2(p) : 0.0;
        for (const double bits : opinion.information) {
            EXPECT_GE(bits, 0.0);
            EXPECT_LE(bits, unknown + 1e-9);
        }
    }
    const MaterialOpinion dark = judge_material({reading(Kind::t1_ratio, 0.06, 0.08), reading(Kind::t2_ratio, 0.05, 0.08)});
    EXPECT_EQ(dark.information[static_cast<std::size_t>(NextStep::t1)], 0.0);
    EXPECT_EQ(dark.information[static_cast<std::size_t>(NextStep::t2)], 0.0);
    const double solid = dark.probability[0], sponge = dark.probability[1], silicones = solid + sponge;
    const double between_them = -solid * std::log2(solid / silicones) - sponge * std::log2(sponge / silicones);
    EXPECT_GT(dark.information[static_cast<std::size_t>(NextStep::ct)], 0.95 * between_them);
}

// Row 1.12: 38 HU at 80 % water, 149 HU as sold, where row 5.14 makes it dark on T2.
TEST(MaterialOpinion, no_water_fits_a_bright_t2_with_the_ct_number_of_dry_polymer) {
    const auto at = [](double hounsfield) { return judge_material({reading(Kind::ct_number, hounsfield, 8), reading(Kind::t2_ratio, 0.9, 0.08), reading(Kind::section_thickness, 5.0, 0.3), on_the_wall()}); };
    EXPECT_TRUE(at(149.0).water_disagrees);
    EXPECT_FALSE(at(38.0).water_disagrees);
    EXPECT_FALSE(at(38.0).outside_table);
    const auto& by_reading = at(38.0).water_by_reading;
    ASSERT_EQ(by_reading.size(), 2U);
    EXPECT_LE(by_reading[0].water.low().value(), 0.80);
    EXPECT_GE(by_reading[0].water.high().value(), 0.80);
}

// Nothing that the table knows is two and a half times as bright as vitreous on T2.
TEST(MaterialOpinion, a_signal_that_nothing_known_shows_is_told) {
    EXPECT_TRUE(judge_material({reading(Kind::t2_ratio, 2.5, 0.08)}).outside_table);
    EXPECT_FALSE(judge_material({reading(Kind::t2_ratio, 1.0, 0.08)}).outside_table);
}

TEST(MaterialOpinion, hydrogel_is_not_named_by_t1_alone) {
    const MaterialOpinion opinion = judge_material({reading(Kind::t1_ratio, 1.2, 0.05), reading(Kind::section_thickness, 7.0, 0.3), reading(Kind::fits_wall, 4.5, 0.2)});
    EXPECT_EQ(opinion.candidates.front(), MaterialClass::hydrogel);
    EXPECT_GT(probability(opinion, MaterialClass::hydrogel), label_margin);
    EXPECT_FALSE(opinion.label);
}

TEST(MaterialOpinion, what_either_modality_says_alone_is_its_own_judgement) {
    const Reading ct = reading(Kind::ct_number, 140, 10), t2 = reading(Kind::t2_ratio, 0.03, 0.06), thickness = reading(Kind::section_thickness, 3.0, 0.2);
    const MaterialOpinion both = judge_material({ct, t2, thickness}), ct_alone = judge_material({ct, thickness}), mr_alone = judge_material({t2, thickness});
    ASSERT_TRUE(both.by_ct && both.by_mr);
    EXPECT_EQ(both.by_ct->candidates, ct_alone.candidates);
    EXPECT_EQ(both.by_ct->label, ct_alone.label);
    EXPECT_EQ(both.by_mr->candidates, mr_alone.candidates);
    EXPECT_FALSE(ct_alone.by_ct || ct_alone.by_mr || mr_alone.by_ct || mr_alone.by_mr);
}

}  // namespace perisclera
