// SPDX-License-Identifier: Apache-2.0
// The outer face of the wall against profiles of three layers whose blurred steps have a closed form (the error function).
#include <cmath>
#include <string>

#include <gtest/gtest.h>

#include "src/anatomy/wall_profile.h"

namespace perisclera {

namespace {

// Signals of the order of usual scans (common practice, no source): the wall is dark in all of them.
struct Contrast {
    const char* name;
    double vitreous, wall, fat;
};

std::ostream& operator<<(std::ostream& out, const Contrast& c) { return out << c.name; }

double course(const Contrast& c, double outer, double thickness, double blur, double at) {
    const auto beyond = [&](double face) { return 0.5 * std::erfc((face - at) / (blur * std::sqrt(2.0))); };
    return c.vitreous + (c.wall - c.vitreous) * beyond(outer - thickness) + (c.fat - c.wall) * beyond(outer);
}

class OuterFaces : public ::testing::TestWithParam<std::tuple<Contrast, double, double>> {};

}  // namespace

TEST_P(OuterFaces, are_found_whichever_face_the_edge_shows) {
    const auto& [contrast, thickness, blur] = GetParam();
    // The edge is where the signal first has gone half way from the vitreous to its next extreme, as the surface fit takes it.
    constexpr double outer = 0.35;
    double extreme = contrast.vitreous;
    for (double at = -3.0; at < 1.75; at += 0.01) {
        const double v = course(contrast, outer, thickness, blur, at);
        if (std::abs(v - contrast.vitreous) > std::abs(extreme - contrast.vitreous)) extreme = v;
    }
    double edge = -3.0;
    while (std::abs(course(contrast, outer, thickness, blur, edge) - contrast.vitreous) < 0.5 * std::abs(extreme - contrast.vitreous)) edge += 0.001;
    WallProfile profile{-3.0, 0.25, {}, contrast.fat};
    for (int k = 0; k <= 22; ++k) profile.signal.push_back(course(contrast, outer, thickness, blur, edge - 3.0 + 0.25 * k));
    const OuterFace found = outer_face(profile, 0.25);
    EXPECT_NEAR(found.offset_mm, outer - edge, 1.96 * found.uncertainty_mm);
    EXPECT_NEAR(found.offset_mm, outer - edge, 0.35) << "no more than the walls' own variation";
    EXPECT_GT(found.uncertainty_mm, 0.05);
    EXPECT_LT(found.uncertainty_mm, 0.35);
}

INSTANTIATE_TEST_SUITE_P(contrasts, OuterFaces,
                         ::testing::Combine(::testing::Values(Contrast{"t1", 220, 200, 1350}, Contrast{"t2", 930, 150, 450}, Contrast{"t2_fatsat", 930, 150, 60},
                                                              Contrast{"proton_density", 800, 300, 1000}, Contrast{"flair", 60, 150, 700}),
                                            ::testing::Values(0.8, 1.1), ::testing::Values(0.4, 0.8)),
                         [](const auto& about) {
                             return std::string(std::get<0>(about.param).name) + (std::get<1>(about.param) < 1.0 ? "_thin_wall" : "_thick_wall") + (std::get<2>(about.param) < 0.6 ? "_sharp" : "_blurred");
                         });

}  // namespace perisclera
