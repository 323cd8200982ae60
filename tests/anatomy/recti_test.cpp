// SPDX-License-Identifier: Apache-2.0
// Rectus muscles drawn as straight bars of known thickness in fat, along the axis of an orbit drawn from a formula. HU as common practice has them.
#include <cmath>
#include <numbers>
#include <optional>

#include <gtest/gtest.h>

#include "perisclera/anatomy/recti.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

constexpr PatientPoint centre{-31.0, -60.0, 20.0};
constexpr double radius_mm = 12.0;

struct Bar {
    double thickness_mm;
    double front_mm = -3.0;    ///< where it begins, behind the globe's centre
    double gap_mm = 0.0;       ///< of fat between it and the globe's tangent
};

/// In the order of all_recti, of a right eye whose orbit's axis runs 22 degrees towards the nose.
VoxelGrid orbit_with(const std::array<Bar, 4>& bars, std::array<double, 3> spacing = {0.5, 0.5, 1.0}, double fat = -95.0, double muscle = 45.0, double globe = 12.0) {
    const double a = 22.0 * std::numbers::pi / 180.0;
    const EyeFrame frame(centre, {-std::sin(a), -std::cos(a), 0.0}, {0, 0, 1});
    const std::array<int, 3> size{static_cast<int>(48 / spacing[0]), static_cast<int>(62 / spacing[1]), static_cast<int>(44 / spacing[2])};
    return test::drawn_grid(centre + PatientVector{4.0, 12.0, 0.0}, size, spacing, [&](PatientPoint p) {
        const EyePoint e = frame.to_eye(p);
        if (std::hypot(e.x, e.y, e.z) < radius_mm) return globe;
        if (std::hypot(e.x, e.y) < 2.5 && e.z < 0.0) return 0.5 * (muscle + globe);   // the nerve
        const std::array<std::array<double, 2>, 4> out_and_beside{{{e.y, e.x}, {-e.y, e.x}, {e.x, e.y}, {-e.x, e.y}}};
        for (std::size_t k = 0; k < 4; ++k) {
            const auto [out, beside] = out_and_beside[k];
            const double inner = radius_mm + bars[k].gap_mm;
            if (std::abs(beside) < 4.5 && out > inner && out < inner + bars[k].thickness_mm && -e.z > bars[k].front_mm) return muscle;
        }
        return fat;
    });
}

std::array<RectusReading, 4> read(const VoxelGrid& grid, Modality modality = Modality::ct, SeriesRole role = SeriesRole::ct_soft) {
    return read_recti(grid, modality, role, test::ball_globe(Eye::right, centre, radius_mm), std::nullopt);
}

}  // namespace

TEST(Recti, bars_in_fat_have_the_thickness_they_were_drawn_with_and_reach_the_globe) {
    constexpr std::array<Bar, 4> bars{{{4.0}, {5.0}, {3.5}, {2.5}}};
    const auto found = read(orbit_with(bars));
    for (std::size_t k = 0; k < 4; ++k) {
        const Measured<Mm>* t = found[k].thickness.measured();
        ASSERT_TRUE(t) << k << ": " << found[k].thickness.unmeasured()->why;
        // Half way between fat and muscle is the edge itself, whatever the blur: a third of a voxel is left.
        EXPECT_NEAR(t->value().value(), bars[k].thickness_mm, 0.35) << k;
        EXPECT_LE(t->low().value(), bars[k].thickness_mm) << k;
        EXPECT_GE(t->high().value(), bars[k].thickness_mm) << k;
        EXPECT_EQ(found[k].course, MuscleCourse::continuous) << k;
    }
}

TEST(Recti, signals_of_mr_where_fat_is_bright_serve_as_well) {
    const auto found = read(orbit_with({{{4.0}, {5.0}, {3.5}, {2.5}}}, {0.5, 0.5, 1.0}, 1000.0, 450.0, 200.0), Modality::mr, SeriesRole::t1);
    ASSERT_TRUE(found[2].thickness.has_value()) << found[2].thickness.unmeasured()->why;
    EXPECT_NEAR(found[2].thickness.measured()->value().value(), 3.5, 0.35);
}

TEST(Recti, a_muscle_that_ends_behind_the_globe_is_interrupted_and_its_neighbours_are_not) {
    const auto found = read(orbit_with({{{4.0}, {4.0}, {4.0, 10.0}, {4.0}}}));
    ASSERT_TRUE(found[2].thickness.has_value()) << found[2].thickness.unmeasured()->why;
    EXPECT_EQ(found[2].course, MuscleCourse::interrupted);
    for (const std::size_t k : {0, 1, 3}) EXPECT_EQ(found[k].course, MuscleCourse::continuous) << k;
}

TEST(Recti, where_there_is_none_nothing_is_measured) {
    const auto found = read(orbit_with({{{4.0}, {4.0}, {4.0}, {4.0, 60.0}}}));
    EXPECT_FALSE(found[3].thickness.has_value());
    EXPECT_EQ(found[3].course, MuscleCourse::not_determinable);
    EXPECT_TRUE(found[3].middles.empty());
}

TEST(Recti, across_thick_slices_is_not_measured) {
    // The upper and lower muscle lie across the slices, the others within them.
    const auto found = read(orbit_with({{{4.0}, {4.0}, {4.0}, {4.0}}}, {0.5, 0.5, 3.0}));
    for (const std::size_t k : {0, 1}) EXPECT_FALSE(found[k].thickness.has_value()) << k;
    EXPECT_TRUE(found[2].thickness.has_value()) << found[2].thickness.unmeasured()->why;
}

}  // namespace perisclera
