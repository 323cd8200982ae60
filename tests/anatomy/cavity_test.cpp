// SPDX-License-Identifier: Apache-2.0
// Layers in drawn eyes, against closed forms: the height of a level as it was drawn, and shares as volumes of spherical segments, pi h (3 a² + 3 b² + h²) / 6.
// What is no level must not be taken for one: shading, a thick wall, a mass on one side, a slanting surface.
#include <cmath>
#include <functional>
#include <numbers>
#include <random>

#include <gtest/gtest.h>

#include "perisclera/anatomy/cavity.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

constexpr PatientPoint centre{0.3, -59.8, 8.1};
constexpr double outer = 12.3, inner = 11.2;
constexpr double watery = 8.0, oil = 115.0, wall = 50.0, fat = -95.0, least_step = 12.0;   // row 2.02; the rest common practice, no source
constexpr PatientVector supine{0, 1, 0};

using Contents = std::function<double(PatientVector from_centre)>;

VoxelGrid drawn(double slice, const Contents& contents, double noise = 0.0) {
    VoxelGrid grid = test::drawn_grid(centre, {60, 60, static_cast<int>(44.0 / slice)}, {0.7, 0.7, slice}, [&](PatientPoint p) {
        const PatientVector d = p - centre;
        const double r = length(d);
        return r < inner ? contents(d) : r < outer ? wall : fat;
    });
    if (noise == 0.0) return grid;
    std::mt19937 engine(5);
    std::vector<float> values = grid.values();
    // The sum of twelve even numbers is normal enough; top 24 bits of an engine whose sequence the C++ standard fixes.
    for (float& v : values) {
        double sum = -6.0;
        for (int k = 0; k < 12; ++k) sum += static_cast<double>(engine() >> 8) / 16777216.0;
        v += static_cast<float>(noise * sum);
    }
    return VoxelGrid(grid.geometry(), std::move(values));
}

std::optional<CavityReading> read(const VoxelGrid& grid, PatientVector down = supine) {
    return read_cavity(grid, Modality::ct, test::ball_globe(Eye::right, centre, outer), down, least_step);
}

/// Of a ball up to `y` behind its centre.
double ball_before(double y) { return std::numbers::pi * (inner * inner * y - y * y * y / 3.0 + 2.0 / 3.0 * inner * inner * inner); }

class Levels : public ::testing::TestWithParam<std::tuple<double, double>> {};

}  // namespace

TEST_P(Levels, lie_where_they_were_drawn) {
    const auto& [slice, level] = GetParam();
    const auto reading = read(drawn(slice, [&](PatientVector d) { return d.y < level ? oil : watery; }, 10.0));
    ASSERT_TRUE(reading);
    const auto* layered = std::get_if<LayeredCavity>(&*reading);
    ASSERT_TRUE(layered);
    EXPECT_NEAR(layered->upper.value, oil, 2.0) << "noise of 10 HU over some hundred voxels";
    EXPECT_NEAR(layered->lower.value, watery, 2.0);
    EXPECT_LE(layered->level.low().value(), inner - level);
    EXPECT_GE(layered->level.high().value(), inner - level);
    EXPECT_LT(layered->level.standard_uncertainty().value(), 1.0);
    // The cavity ends in front at the lens, some 5 mm behind the outer radius.
    const double front = -(outer - 5.0), above = (ball_before(level) - ball_before(front)) / (ball_before(inner) - ball_before(front));
    EXPECT_LE(layered->share_above.low().value(), above);
    EXPECT_GE(layered->share_above.high().value(), above);
    EXPECT_LT(layered->share_above.standard_uncertainty().value(), 0.1);
}

INSTANTIATE_TEST_SUITE_P(heights, Levels, ::testing::Combine(::testing::Values(1.0, 3.0), ::testing::Values(-1.8, 0.3, 3.0, 5.0)));

TEST(Level, follows_gravity_however_the_patient_lies) {
    for (const PatientVector down : {PatientVector{0, 1, 0}, {0, -1, 0}, {1, 0, 0}, {-1, 0, 0}}) {
        const auto reading = read(drawn(1.0, [&](PatientVector d) { return dot(d, down) < 1.0 ? oil : watery; }), down);
        ASSERT_TRUE(reading);
        const auto* layered = std::get_if<LayeredCavity>(&*reading);
        ASSERT_TRUE(layered) << down.x << ' ' << down.y;
        EXPECT_NEAR(layered->upper.value, oil, 1.0);
        EXPECT_NEAR(layered->level.value().value(), inner - 1.0, 0.7);
    }
}

// A bubble of a hundredth to a tenth of the cavity lies beside the lens.
TEST(Level, of_a_small_bubble_of_gas_is_told_on_ct) {
    for (const double front : {-6.5, -5.0}) {
        const auto reading = read(drawn(1.0, [&](PatientVector d) { return d.y < front ? -994.0 : watery; }));
        ASSERT_TRUE(reading);
        const auto* layered = std::get_if<LayeredCavity>(&*reading);
        ASSERT_TRUE(layered) << front;
        EXPECT_LT(layered->upper.value, -400.0);
        EXPECT_NEAR(layered->lower.value, watery, 1.0);
        EXPECT_NEAR(layered->level.value().value(), inner - front, 1.0);
    }
}

TEST(Level, is_not_seen_in_one_fluid) {
    for (const double hu : {watery, oil, -994.0, 585.0, 62.0})
        for (const double slice : {1.0, 3.0}) {
            const auto reading = read(drawn(slice, [&](PatientVector) { return hu; }, 15.0));
            ASSERT_TRUE(reading);
            const auto* even = std::get_if<EvenCavity>(&*reading);
            ASSERT_TRUE(even) << hu << ' ' << slice;
            EXPECT_NEAR(even->whole.value, hu, 2.0);
            EXPECT_NEAR(even->whole.spread, 15.0, 8.0) << "interpolation takes away up to half of the noise";
        }
}

TEST(Level, is_not_seen_where_no_plane_across_gravity_parts_two_fluids) {
    struct Case {
        const char* what;
        Contents contents;
    };
    const std::vector<Case> cases{
        {"shading of 40 HU from front to back", [](PatientVector d) { return watery + 20.0 * d.y / inner; }},
        {"a wall 4 mm thick at the back, as a detached or thickened choroid", [](PatientVector d) { return length(d - PatientVector{0, -4.0, 0}) > inner ? wall : watery; }},
        {"a dense mass at the back and to one side", [](PatientVector d) { return length(d - PatientVector{6.0, 7.0, 0.0}) < 6.0 ? wall : watery; }},
        {"a surface that slants by 40 degrees", [](PatientVector d) { return 0.77 * d.y + 0.64 * d.x < 0.0 ? oil : watery; }},
        {"two halves side by side", [](PatientVector d) { return d.x < 0.0 ? oil : watery; }},
    };
    for (const Case& c : cases)
        for (const double slice : {1.0, 3.0}) {
            const auto reading = read(drawn(slice, c.contents));
            ASSERT_TRUE(reading) << c.what;
            EXPECT_FALSE(std::holds_alternative<LayeredCavity>(*reading)) << c.what << ", slices of " << slice;
        }
}

TEST(Cavity, that_lies_beyond_the_images_is_not_read) {
    const VoxelGrid grid = drawn(1.0, [](PatientVector) { return watery; });
    EXPECT_FALSE(read_cavity(grid, Modality::ct, test::ball_globe(Eye::right, centre + PatientVector{60.0, 0, 0}, outer), supine, least_step));
}

}  // namespace perisclera
