// SPDX-License-Identifier: Apache-2.0
// What is told of the operation, beside the images. Hydrogel was used about 1981 to 1996 (common practice, no source; published implants 1984 to 1997).
// Bayes' rule is the reference for what both say together.
#include "perisclera/material/operation_record.h"

#include <numeric>

#include <gtest/gtest.h>

namespace perisclera {

namespace {

constexpr std::size_t solid = 0, sponge = 1, hydrogel = 2;
constexpr PerClass fits_hydrogel{0.02, 0.01, 0.95, 0.02}, open_between{0.55, 0.01, 0.42, 0.02};

}  // namespace

TEST(OperationRecord, the_year_changes_the_prior_of_hydrogel_and_of_nothing_else_among_the_others) {
    const WithRecord in_1975 = with_record(open_between, {1975, {}}), in_1988 = with_record(open_between, {1988, {}}), in_2003 = with_record(open_between, {2003, {}});
    for (std::size_t m = 0; m < prior_share.size(); ++m) EXPECT_NEAR(in_1988.prior[m], prior_share[m], 1e-12);
    for (const WithRecord& before_or_after : {in_1975, in_2003}) {
        EXPECT_LT(before_or_after.prior[hydrogel], 0.01);
        EXPECT_NEAR(before_or_after.prior[solid] / before_or_after.prior[sponge], prior_share[solid] / prior_share[sponge], 1e-12);
        EXPECT_GT(before_or_after.probability[solid], 0.9);
        EXPECT_NEAR(std::accumulate(before_or_after.probability.begin(), before_or_after.probability.end(), 0.0), 1.0, 1e-12);
    }
}

// Bayes' rule: what the record takes from hydrogel it takes from whatever share that had.
TEST(OperationRecord, another_prior_of_the_images_is_what_the_record_changes) {
    constexpr PerClass even{0.25, 0.25, 0.25, 0.25};
    const WithRecord usual = with_record(open_between, {2003, {}}), other = with_record(open_between, {2003, {}}, even);
    EXPECT_NEAR(other.prior[solid], other.prior[sponge], 1e-12);
    EXPECT_NEAR(other.prior[hydrogel] / other.prior[solid] / (even[hydrogel] / even[solid]), usual.prior[hydrogel] / usual.prior[solid] / (prior_share[hydrogel] / prior_share[solid]), 1e-12);
    for (std::size_t m = 0; m < even.size(); ++m) EXPECT_NEAR(other.probability[m], usual.probability[m], 1e-12) << "the images' own prior is in what the images say";
}

TEST(OperationRecord, hydrogel_on_images_of_an_operation_in_2003_or_1975_is_a_contradiction_and_in_1988_is_not) {
    EXPECT_TRUE(with_record(fits_hydrogel, {2003, {}}).year_contradicts);
    EXPECT_TRUE(with_record(fits_hydrogel, {1975, {}}).year_contradicts);
    EXPECT_FALSE(with_record(fits_hydrogel, {1988, {}}).year_contradicts);
    EXPECT_FALSE(with_record(fits_hydrogel, {1997, {}}).year_contradicts) << "implants of that year are published";
    EXPECT_FALSE(with_record(open_between, {2003, {}}).year_contradicts) << "silicone fits as well";
}

TEST(OperationRecord, a_note_against_the_images_is_a_contradiction) {
    EXPECT_TRUE(with_record(fits_hydrogel, {{}, MaterialClass::silicone_sponge}).material_contradicts);
    EXPECT_FALSE(with_record(fits_hydrogel, {{}, MaterialClass::hydrogel}).material_contradicts);
    EXPECT_FALSE(with_record(open_between, {{}, MaterialClass::hydrogel}).material_contradicts);
}

TEST(OperationRecord, both_together_follow_from_bayes_rule) {
    const WithRecord both = with_record(open_between, {1988, MaterialClass::hydrogel});
    // Odds of hydrogel against solid: by the images 0.42 / 0.55, times what the note adds, 0.9 against a third of the remaining tenth.
    EXPECT_NEAR(both.probability[hydrogel] / both.probability[solid], 0.42 / 0.55 * 0.9 / (0.1 / 3.0), 1e-9);
    const WithRecord nothing_told = with_record(open_between, {});
    for (std::size_t m = 0; m < 4; ++m) EXPECT_NEAR(nothing_told.probability[m], open_between[m], 1e-12);
}

}  // namespace perisclera
