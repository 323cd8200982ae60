// SPDX-License-Identifier: Apache-2.0
// A ball with a dent under a dense body on CT, the fitted surface that of the ball: where the wall's outer face is, by construction. Contrasts: common practice, no source; wall
// 0.82 mm, see wall_at_equator_mm.
#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include "src/segmentation/columns.h"
#include "src/segmentation/inner_face.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

constexpr double radius = 12.2, dent_mm = 1.2, dent_radians = 0.5, reaches_mm = 4.0;

/// Dented by as much towards three o'clock at the equator, where a body as dense as `body_hu` lies in the dent.
EyeView dented(Modality modality, double body_hu) {
    const Globe globe = [] {
        Globe g = test::ball_globe(Eye::right, {0, 0, 0}, radius);
        g.interior_mean = 8.0;
        return g;
    }();
    const EyeFrame frame = globe.frame;
    const PolarBlock block(test::drawn_grid({0, 0, 0}, {90, 90, 60}, {0.5, 0.5, 0.8}, [&](PatientPoint p) {
        const EyePoint e = frame.to_eye(p);
        const double r = std::hypot(e.x, e.y, e.z);
        const bool in_dent = std::acos(e.x / std::max(r, 1e-6)) < dent_radians;
        const double face = radius - (in_dent ? dent_mm : 0.0);
        if (r < face - wall_at_equator_mm) return 8.0;
        if (r < face) return 45.0;
        return in_dent && r < radius + reaches_mm ? body_hu : -95.0;
    }), globe);
    return {0, modality, modality == Modality::ct ? SeriesRole::ct_soft : SeriesRole::t2, 120.0, block};
}

std::size_t equator(int clock) { return column(clock, static_cast<int>(std::lround((0.5 * std::numbers::pi - PolarBlock::polar_first) / PolarBlock::polar_step))); }

}  // namespace

TEST(InnerFace, lies_a_wall_beyond_where_vitreous_ends) {
    for (const double body_hu : {40.0, 90.0}) {
        const std::vector<float> face = inner_faces(dented(Modality::ct, body_hu));
        EXPECT_NEAR(face[equator(30)], -dent_mm, 0.35) << body_hu;
        EXPECT_NEAR(face[equator(90)], 0.0, 0.6) << "where fat lies on the wall, which is thinner than the blur";
        EXPECT_LT(face[equator(30)], face[equator(90)] - 0.5f);
    }
}

TEST(InnerFace, is_not_told_by_mr) {
    const std::vector<float> face = inner_faces(dented(Modality::mr, 40.0));
    EXPECT_EQ(face[equator(30)], face[equator(90)]);
}

}  // namespace perisclera
