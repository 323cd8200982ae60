// SPDX-License-Identifier: Apache-2.0
// Images without eyes: no pair may be found in them. And the bounds asked of a globe's place and size.
#include <algorithm>
#include <functional>
#include <random>
#include <vector>

#include <gtest/gtest.h>

#include "perisclera/anatomy/globe.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

VoxelGrid filled(double slice, const std::function<double(PatientPoint)>& value) {
    return test::drawn_grid({0, -10, 8}, {110, 110, static_cast<int>(60.0 / slice)}, {1.6, 1.6, slice}, value);
}

void expect_none(const VoxelGrid& grid, const char* what) {
    for (const Modality modality : {Modality::mr, Modality::ct}) {
        const FoundGlobes found = find_globes(grid, modality);
        EXPECT_FALSE(found.right.has_value()) << what;
        EXPECT_FALSE(found.left.has_value()) << what;
    }
}

}  // namespace

TEST(NoGlobes, nothing_is_found_in_an_even_volume) {
    expect_none(filled(2.0, [](PatientPoint) { return 40.0; }), "even");
    expect_none(filled(2.0, [](PatientPoint) { return 0.0; }), "zero");
}

TEST(NoGlobes, nothing_is_found_in_noise) {
    for (const unsigned seed : {1U, 2U, 3U}) {
        const auto plain = filled(2.0, [](PatientPoint) { return 0.0; });
        std::mt19937 engine(seed);
        std::vector<float> values(plain.values().size());
        // Top 24 bits of the engine, whose sequence the C++ standard fixes.
        for (float& v : values) v = static_cast<float>(engine() >> 8) * (200.0f / 16777216.0f);
        expect_none(VoxelGrid(plain.geometry(), std::move(values)), "noise");
    }
}

// A head of 80 mm radius in air, without eyes.
TEST(NoGlobes, nothing_is_found_in_a_head_without_eyes) {
    for (const double slice : {1.0, 3.0})
        expect_none(filled(slice, [](PatientPoint p) { return length(p - PatientPoint{0, -10, 8}) < 80.0 ? 40.0 : -1000.0; }), "ball");
}

// Bounds: 0.4 mm and 0.5 mm, set for this program.
struct Contrast {
    const char* name;
    Modality modality;
    double vitreous, wall, outside;
};

TEST(GlobePlace, centre_and_radius_within_the_bounds_asked) {
    constexpr PatientPoint right{-31, -60.3, 7.6}, left{31, -59.8, 8.2};
    constexpr double outer = 12.1;
    for (const Contrast& c : {Contrast{"bright in dark", Modality::mr, 1000, 100, 300}, {"dark in bright", Modality::mr, 150, 150, 800}, {"ct", Modality::ct, 8, 45, -90}})
        for (const double slice : {1.0, 2.0, 3.0}) {
            const auto grid = test::drawn_grid({0, -55, 8}, {140, 64, static_cast<int>(48.0 / slice)}, {0.8, 0.8, slice}, [&](PatientPoint p) {
                const test::EyeLayer layer = test::eye_layer(p - (p.x < 0.0 ? right : left), outer);
                return layer == test::EyeLayer::fluid ? c.vitreous : layer == test::EyeLayer::wall ? c.wall : c.outside;
            });
            const FoundGlobes found = find_globes(grid, c.modality);
            ASSERT_TRUE(found.right && found.left) << c.name << slice;
            EXPECT_LT(found.right->centre.x, found.left->centre.x);
            for (const Eye eye : both_eyes) {
                const bool r = eye == Eye::right;
                const Globe g = fit_globe(grid, c.modality, eye, r ? *found.right : *found.left, r ? found.left->centre : found.right->centre);
                EXPECT_LE(length(g.frame.origin() - (r ? right : left)), 0.4) << c.name << ' ' << slice;
                EXPECT_NEAR(g.equatorial_radius_mm(), outer, 0.5) << c.name << ' ' << slice;
            }
        }
}

}  // namespace perisclera
