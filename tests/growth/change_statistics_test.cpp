// SPDX-License-Identifier: Apache-2.0
// The growth sweep's arithmetic against closed forms and a handbook's interval.
#include "tests/growth/change_statistics.h"

#include <gtest/gtest.h>

#include <cmath>

namespace perisclera::growth {

TEST(BinomialInterval, of_none_and_of_all_is_closed_form) {
    // With nothing seen the upper limit p solves (1 - p)^n = 0.025.
    for (const int n : {1, 10, 300}) {
        const double limit = 1.0 - std::pow(0.025, 1.0 / n);
        EXPECT_DOUBLE_EQ(binomial_interval(0, n)[0], 0.0);
        EXPECT_NEAR(binomial_interval(0, n)[1], limit, 1e-9);
        EXPECT_NEAR(binomial_interval(n, n)[0], 1.0 - limit, 1e-9);
        EXPECT_DOUBLE_EQ(binomial_interval(n, n)[1], 1.0);
    }
}

// 682 of 925 plants: Conover WJ, Practical Nonparametric Statistics (1971), 97 f., as the manual of R's binom.test computes it (from memory): 0.7076683 to 0.7654066.
TEST(BinomialInterval, is_the_handbook_s) {
    EXPECT_NEAR(binomial_interval(682, 925)[0], 0.7076683, 1e-7);
    EXPECT_NEAR(binomial_interval(682, 925)[1], 0.7654066, 1e-7);
}

TEST(SpreadOf, is_that_of_a_sample) {
    // 2, 4, 4, 4, 5, 5, 7, 9: mean 5, squares 32 over 7.
    const auto spread = spread_of({2, 4, 4, 4, 5, 5, 7, 9});
    EXPECT_DOUBLE_EQ(spread->mean, 5.0);
    EXPECT_DOUBLE_EQ(spread->deviation, std::sqrt(32.0 / 7.0));
    EXPECT_FALSE(spread_of({1.0}));
}

/// Errors of both visits made of a shared part and an own one, all combinations of signs: exactly uncorrelated.
std::vector<PairedErrors> pairs_with(double shared, double own, double stated) {
    std::vector<PairedErrors> pairs;
    for (const double s : {-1.0, 1.0})
        for (const double a : {-1.0, 1.0})
            for (const double b : {-1.0, 1.0}) pairs.push_back({{s * shared + a * own, s * shared + b * own}, {stated, stated}});
    return pairs;
}

TEST(SharedShare, of_variances_that_add_is_the_shared_one_s_part) {
    // Each visit: 0.3^2 shared + 0.4^2 own = 0.5^2, as stated.
    const auto pairs = pairs_with(0.3, 0.4, 0.5);
    EXPECT_NEAR(*correlation_of(pairs), 0.09 / 0.25, 1e-12);
    EXPECT_NEAR(*shared_share(pairs), 0.09 / 0.25, 1e-12);
    EXPECT_NEAR(*shared_share(pairs_with(0.3, 0.0, 0.3)), 1.0, 1e-12);
    EXPECT_NEAR(*shared_share(pairs_with(0.0, 0.4, 0.4)), 0.0, 1e-12);
    EXPECT_FALSE(shared_share({}));
}

TEST(SharedShare, is_negative_where_visits_state_too_little) {
    // The differences' mean square is 2 (2 u)^2, twice what 2 (1 - r) u^2 gives at r = -1.
    EXPECT_NEAR(*shared_share(pairs_with(0.0, 0.4, 0.2)), 1.0 - 4.0, 1e-12);
    EXPECT_FALSE(correlation_of(pairs_with(0.0, 0.0, 0.1))) << "errors that do not vary have no correlation";
}

// Tables of the normal distribution: beyond 0.616 lies 26.9 %, beyond -0.364 64.2 %, beyond -1.344 91.1 %.
TEST(PowerAsStated, follows_the_normal_distribution) {
    EXPECT_NEAR(power_as_stated(1.0), 0.269, 5e-4);
    EXPECT_NEAR(power_as_stated(1.5), 0.642, 5e-4);
    EXPECT_NEAR(power_as_stated(2.0), 0.911, 1e-3);
    EXPECT_LT(power_as_stated(0.0), 0.006) << "half of 1 %";
}

}  // namespace perisclera::growth
