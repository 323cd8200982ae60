// SPDX-License-Identifier: Apache-2.0
// A ball with a dent under a dense body on CT, the fitted surface that of the ball: where the wall's outer face is, by construction.
#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include "perisclera/segmentation/inner_face.h"
#include "src/segmentation/columns.h"
#include "tests/support/dented_eye.h"

namespace perisclera {

namespace {

constexpr double dent_mm = test::DentedEye::dent_mm;

std::size_t equator(int clock) { return column(clock, static_cast<int>(std::lround((0.5 * std::numbers::pi - PolarBlock::polar_first) / PolarBlock::polar_step))); }

}  // namespace

TEST(InnerFace, lies_a_wall_beyond_where_vitreous_ends) {
    for (const double body_hu : {40.0, 90.0}) {
        const std::vector<float> face = inner_faces(test::DentedEye::seen(Modality::ct, body_hu));
        EXPECT_NEAR(face[equator(30)], -dent_mm, 0.35) << body_hu;
        EXPECT_NEAR(face[equator(90)], 0.0, 0.6) << "where fat lies on the wall, which is thinner than the blur";
        EXPECT_LT(face[equator(30)], face[equator(90)] - 0.5f);
    }
}

TEST(InnerFace, is_not_told_by_mr) {
    const std::vector<float> face = inner_faces(test::DentedEye::seen(Modality::mr, 40.0));
    EXPECT_EQ(face[equator(30)], face[equator(90)]);
}

}  // namespace perisclera
