// SPDX-License-Identifier: Apache-2.0
// Expected values: the magnetostatics of a sphere and of a cylinder across the field (Schenck JF, Med Phys 1996;23:815; Haacke EM et al.,
// Magnetic Resonance Imaging, 1999; cited from memory).
#include "phantoms/mr_field.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace perisclera::phantoms {
namespace {

constexpr double gas_ppm = 9.41;

/// Share of a cell within `radius` of the middle by 5 x 5 x 5 points; flat: of a cylinder along x.
template <class Inside>
std::vector<float> drawn(std::array<int, 3> size, Inside inside) {
    std::vector<float> out;
    for (int z = 0; z < size[2]; ++z)
        for (int y = 0; y < size[1]; ++y)
            for (int x = 0; x < size[0]; ++x) {
                int hits = 0;
                for (int p = 0; p < 125; ++p)
                    hits += inside(x - size[0] / 2 + (p % 5 - 2) / 5.0, y - size[1] / 2 + (p / 5 % 5 - 2) / 5.0, z - size[2] / 2 + (p / 25 - 2) / 5.0)
                                ? 1
                                : 0;
                out.push_back(static_cast<float>(gas_ppm * hits / 125.0));
            }
    return out;
}

// Outside, with B along z: chi/2 (a/r)^2 cos 2phi, phi from B. At the surface that is chi/2: 4.7 ppm of gas against tissue, 300 Hz at 1.5 T.
TEST(MrField, around_a_cylinder_of_gas_across_the_field_is_as_in_the_closed_form) {
    constexpr std::array<int, 3> size{8, 160, 160};
    constexpr double radius = 6.0;
    const auto field = dipole_field(drawn(size, [](double, double y, double z) { return y * y + z * z < radius * radius; }), size, {0, 0, 1});
    const auto at = [&](int y, int z) { return static_cast<double>(field[static_cast<std::size_t>(((z + 80) * 160 + y + 80) * 8 + 3)]); };
    for (const auto& [y, z] : {std::array{0, 9}, {9, 0}, {0, 14}, {14, 0}, {8, 8}, {10, 5}, {-7, 12}}) {
        const double square = y * y + z * z, expected = gas_ppm / 2.0 * radius * radius / square * (z * z - y * y) / square;
        // Neighbours of the periodic block add pi a^2 / (160 mm)^2 chi / 2, 0.02 ppm; cells, some hundredths near the surface.
        EXPECT_NEAR(at(y, z), expected, 0.06) << y << " " << z;
    }
    // One cell beyond the surface lies nearly all of the surface's step.
    EXPECT_NEAR(at(0, 7), gas_ppm / 2.0 * 36.0 / 49.0, 0.25);
    EXPECT_NEAR(gas_ppm / 2.0 * 42.577 * 1.5, 300.0, 1.0);
}

TEST(MrField, a_cylinder_along_the_field_leaves_it_alone_outside) {
    constexpr std::array<int, 3> size{8, 160, 160};
    const auto field = dipole_field(drawn(size, [](double, double y, double z) { return y * y + z * z < 36.0; }), size, {1, 0, 0});
    EXPECT_NEAR(static_cast<double>(field[static_cast<std::size_t>(((90) * 160 + 80) * 8)]), 0.0, 0.05);
}

// chi/3 (a/r)^3 (3 cos^2 theta - 1), theta from B, for a field along any direction.
TEST(MrField, around_a_sphere_of_gas_is_a_dipoles) {
    constexpr int n = 96;
    constexpr std::array<int, 3> size{n, n, n};
    constexpr double radius = 6.0;
    const auto sphere = drawn(size, [](double x, double y, double z) { return x * x + y * y + z * z < radius * radius; });
    for (const auto& b : {std::array{0.0, 0.0, 1.0}, std::array{0.6, 0.0, 0.8}, std::array{1.0 / 3.0, -2.0 / 3.0, 2.0 / 3.0}}) {
        const auto field = dipole_field(sphere, size, b);
        for (const auto& p : {std::array{0, 0, 10}, {10, 0, 0}, {0, -12, 0}, {7, 7, 3}, {-6, 4, 9}}) {
            const double square = p[0] * p[0] + p[1] * p[1] + p[2] * p[2], along = p[0] * b[0] + p[1] * b[1] + p[2] * b[2];
            const double expected = gas_ppm / 3.0 * std::pow(radius * radius / square, 1.5) * (3.0 * along * along / square - 1.0);
            EXPECT_NEAR(static_cast<double>(field[static_cast<std::size_t>(((p[2] + n / 2) * n + p[1] + n / 2) * n + p[0] + n / 2)]), expected, 0.05);
        }
    }
}

EyeState bare_eye() { return {11.7, GlobeShape::sphere(11.7).axial_length(), Contents::vitreous, Lens::natural, {0, 0, 0}, {}}; }

TEST(MrField, without_susceptibility_there_is_no_field_and_threads_do_not_matter) {
    EyeState eye = bare_eye();
    const HeadModel head({eye, eye}, {});
    const HeadMap map(head);
    std::vector<float> none(tissue_count, 0.0f), gas = none;
    gas[label(Tissue::air)] = static_cast<float>(gas_ppm);
    EXPECT_EQ(FieldMap(map, none, {0, 0, 1}, 1).at({30, 10, 0}), 0.0);
    EXPECT_EQ(FieldMap(map, gas, {0, 0, 1}, 1).at({30, 10, 0}), FieldMap(map, gas, {0, 0, 1}, 3).at({30, 10, 0}));
}

// A sphere of gas in the place of one vitreous, all else alike: a dipole's field beyond it, less what shimming takes away over both orbits.
TEST(MrField, gas_in_one_eye_hardly_reaches_the_other) {
    EyeState gas_filled = bare_eye();
    gas_filled.contents = Contents::gas;
    const HeadModel head({gas_filled, bare_eye()}, {});
    std::vector<float> gas(tissue_count, 0.0f);
    gas[label(Tissue::gas)] = static_cast<float>(gas_ppm);
    const FieldMap field(HeadMap(head), gas, {0, 0, 1}, 1);
    // 2 mm above the globe: near 2/3 chi (a/r)^3, 3 ppm and more. In the other eye, 62 mm away, below a fiftieth of a ppm plus the shim's share.
    EXPECT_GT(field.at({-31, 0, 14}), 2.0);
    EXPECT_LT(std::abs(field.at({31, 0, 0})), 0.4);
}

// A column forgets nothing that matters: against one asked for the first time.
TEST(MrField, along_columns_and_anywhere_else_is_the_field_of_the_single_points) {
    const auto scenario = parse_scenario(R"({"seed": 4, "patient": {"id": "T", "birth_year": 1950}, "timepoints": [{"study_date": "2010-01-31", "series": [{"kind": "t1"}]}]})");
    ASSERT_TRUE(scenario);
    const Timepoint& visit = scenario.value().timepoints.at(0);
    const HeadModel head(visit.eyes, visit.series.at(0).gaze_deg);
    const HeadMap map(head);
    const FieldMap field(map, appearance(visit.series.at(0), visit.eyes).susceptibility_ppm, {0.0, 0.0, 1.0}, 2);
    std::mt19937 random(3);
    const auto between_mm = [&](double low, double high) { return std::uniform_real_distribution(low, high)(random); };
    FieldMap::Column column(field);
    for (int i = 0; i < 3000; ++i) {
        HeadPoint p{between_mm(-90.0, 90.0), between_mm(-60.0, 90.0), between_mm(-70.0, 70.0)};
        for (const double step : {0.0, 0.3, 0.3, 0.9, 1.0, 2.5, -0.4, -1.0, -3.0, 0.0}) {
            p.z += step;
            ASSERT_EQ(column.at(p), field.at(p)) << p.x << ' ' << p.y << ' ' << p.z;
        }
    }
}

}  // namespace
}  // namespace perisclera::phantoms
