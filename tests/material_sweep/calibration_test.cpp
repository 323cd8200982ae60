// SPDX-License-Identifier: Apache-2.0
// The arithmetic of calibration, against closed forms and cases counted by hand.
#include "calibration.h"

#include <cmath>

#include <gtest/gtest.h>

namespace perisclera::material_sweep {

using Band = std::array<int, 2>;

// Of a fair coin's 8 throws none or all is 1/256 = 0.0039 a side, at most one 9/256 = 0.035; of 7 none is 1/128 = 0.0078.
TEST(BinomialBand, of_a_fair_coin_is_counted_by_hand) {
    EXPECT_EQ(binomial_band(8, 0.5), (Band{1, 7}));
    EXPECT_EQ(binomial_band(7, 0.5), (Band{0, 7}));
}

// All of n right has probability p^n, and 0.99^n falls below 0.005 from n = 528 on: ln 0.005 / ln 0.99 = 527.2.
TEST(BinomialBand, leaves_out_all_from_where_the_closed_form_does) {
    EXPECT_EQ(binomial_band(527, 0.99)[1], 527);
    EXPECT_EQ(binomial_band(528, 0.99)[1], 527);
}

// Of a large number the normal distribution: 0.3 of 10 000 are 3000, with a standard deviation of 45.8 and 2.576 of these (tables) 118.
TEST(BinomialBand, of_many_is_that_of_the_normal_distribution) {
    EXPECT_NEAR(binomial_band(10000, 0.3)[0], 3000 - 118, 2);
    EXPECT_NEAR(binomial_band(10000, 0.3)[1], 3000 + 118, 2);
}

TEST(BinomialBand, of_what_is_certain_is_one_number) {
    EXPECT_EQ(binomial_band(20, 1.0), (Band{20, 20}));
    EXPECT_EQ(binomial_band(20, 0.0), (Band{0, 0}));
    EXPECT_EQ(binomial_band(0, 0.7), (Band{0, 0}));
}

// One of 2 is no proof against 95 %, 88 of 100 are: the chance of 12 or more misses of 100 at 5 % is 0.0043, of 11 or more 0.0115 (exact binomial sums).
TEST(Rejected, is_beyond_half_a_per_cent_on_a_side) {
    EXPECT_FALSE(rejected(1, 2, 0.95));
    EXPECT_FALSE(rejected(89, 100, 0.95));
    EXPECT_TRUE(rejected(88, 100, 0.95));
    EXPECT_FALSE(rejected(100, 100, 0.95)) << "0.0059";
}

// Four at 0.95 of which three are right, two at 0.55 of which both are: (|3 - 3.8| + |2 - 1.1|) / 6.
TEST(CalibrationError, is_the_bins_differences_by_their_cases) {
    const std::vector<StatedCase> cases{{0.95, true}, {0.95, true}, {0.95, true}, {0.95, false}, {0.55, true}, {0.55, true}};
    EXPECT_NEAR(expected_calibration_error(cases), (0.8 + 0.9) / 6.0, 1e-12);
    const auto bins = binned(cases);
    EXPECT_EQ(bins[9].cases, 4);
    EXPECT_EQ(bins[9].right, 3);
    EXPECT_NEAR(bins[5].mean_stated, 0.55, 1e-12);
    EXPECT_EQ(bins[0].cases, 0);
    EXPECT_EQ(expected_calibration_error({}), 0.0);
}

TEST(CalibrationError, one_belongs_to_the_last_bin) { EXPECT_EQ(binned({{1.0, true}})[9].cases, 1); }

TEST(CalibrationBin, is_outside_where_too_few_are_right) {
    std::vector<StatedCase> cases(8, {0.5, true});
    EXPECT_FALSE(binned(cases)[5].inside()) << "all of 8 at a half: 0.0039";
    cases.pop_back();
    EXPECT_TRUE(binned(cases)[5].inside()) << "all of 7: 0.0078";
}

// Two cases of a half: none 1/4, one 1/2, two 1/4. Of many rare ones Poisson's: 100 at 0.02 are 2 on average; at most 6 has 0.9955, at most 5 has 0.9834 (tables; the binomial 0.9959 and 0.9845).
TEST(MostErrors, is_what_the_stated_probabilities_leave) {
    EXPECT_EQ(most_errors({}), 0);
    EXPECT_EQ(most_errors({0.5, 0.5}), 2);
    EXPECT_EQ(most_errors({0.009}), 0) << "99.1 % none";
    EXPECT_EQ(most_errors({0.02}), 1);
    EXPECT_EQ(most_errors(std::vector<double>(100, 0.02)), 6);
}

}  // namespace perisclera::material_sweep
