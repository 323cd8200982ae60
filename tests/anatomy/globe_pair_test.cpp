// SPDX-License-Identifier: Apache-2.0
// Which two of the balls in a head are its eyes. Globes lie some 62 mm apart, sinuses less; figures as CT shows them (common practice, no source).
#include <cmath>

#include <gtest/gtest.h>

#include "perisclera/anatomy/globe_finder.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

constexpr GlobeCandidate ball(double x, double z, double mean, double spread, double roundness, bool beyond_tissue = false) {
    return {{x, -60.0, z}, Mm(11.8), mean, spread, roundness, beyond_tissue};
}

}  // namespace

TEST(GlobePair, two_sinuses_are_no_pair_of_eyes_however_round) {
    const FoundGlobes found = pair_of_globes({ball(-29.0, 0.0, -160.0, 0.0, 0.6, true), ball(29.0, 0.0, -160.0, 0.0, 0.6, true), ball(-31.0, 35.0, 12.0, 9.0, 0.45), ball(31.0, 35.0, 14.0, 9.0, 0.45)}, Modality::ct);
    ASSERT_TRUE(found.right && found.left);
    EXPECT_EQ(found.right->centre, (PatientPoint{-31.0, -60.0, 35.0}));
    EXPECT_EQ(found.left->centre, (PatientPoint{31.0, -60.0, 35.0}));
}

// An even ball with even tissue round it is an eye by its shape alone; no eye is filled with fat.
TEST(GlobePair, a_ball_of_fat_is_no_eye) {
    const auto candidates = [](double inside, double outside) {
        return globe_candidates(test::drawn_grid({0, 0, 0}, {70, 70, 50}, {1.0, 1.0, 1.2}, [&](PatientPoint p) { return std::hypot(p.x, p.y, p.z) < 11.8 ? inside : outside; }), Modality::ct);
    };
    const auto fluid = candidates(12.0, -90.0);
    ASSERT_FALSE(fluid.empty());
    EXPECT_LT(length(fluid.front().centre - PatientPoint{0, 0, 0}), 0.5);
    // Edges vote for other places too; none of them is the ball of fat.
    for (const GlobeCandidate& c : candidates(-90.0, 45.0)) EXPECT_GT(length(c.centre - PatientPoint{0, 0, 0}), 6.0);
}

}  // namespace perisclera
