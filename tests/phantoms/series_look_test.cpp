// SPDX-License-Identifier: Apache-2.0
// Images of known blur, noise and levels. Expected: a step blurred by a Gaussian is the normal distribution, averaged over each pixel; white noise filtered
// by a Gaussian of s pixels has the correlation exp(-d^2 / (4 s^2)) d pixels apart (its square integrates so); the sequences' equations for levels.
#include "phantoms/series_look.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>
#include <string>
#include <vector>

#include "phantoms/edge_blur.h"
#include "phantoms/mr_protocol.h"
#include "phantoms/mr_tissue.h"

namespace perisclera::phantoms {
namespace {

VoxelGrid drawn(double pixel_mm, int side, int slices, const auto& value) {
    const double corner = -pixel_mm * (side - 1) / 2.0;
    const VolumeGeometry geometry = VolumeGeometry::make({corner, corner, -(slices - 1.0)}, {1, 0, 0}, {0, 1, 0}, {0, 0, 2}, {pixel_mm, pixel_mm},
                                                         {side, side, slices}).value();
    std::vector<float> values;
    for (int z = 0; z < slices; ++z)
        for (int y = 0; y < side; ++y)
            for (int x = 0; x < side; ++x) values.push_back(static_cast<float>(value(x, y, z, corner)));
    return {geometry, std::move(values)};
}

struct Blurred {
    double sigma_mm, pixel_mm;
};
class KnownBlur : public ::testing::TestWithParam<Blurred> {};

// A column of 12 mm radius, as wide as a globe, with noise of 2 % of its contrast.
TEST_P(KnownBlur, is_recovered_within_a_tenth) {
    const auto [sigma, pixel] = GetParam();
    std::mt19937 random(7);
    std::normal_distribution<double> noise(0.0, 6.0);
    const VoxelGrid grid = drawn(pixel, static_cast<int>(34.0 / pixel), 9, [&](int x, int y, int, double corner) {
        constexpr int parts = 6;
        double sum = 0.0;
        for (int j = 0; j < parts; ++j)
            for (int i = 0; i < parts; ++i) {
                const auto at = [&](int n, int part) { return corner + pixel * (n + (part + 0.5) / parts - 0.5); };
                sum += 0.5 * std::erfc((std::hypot(at(x, i), at(y, j)) - 12.0) / sigma / std::sqrt(2.0));
            }
        return -100.0 + 300.0 * sum / (parts * parts) + noise(random);
    });
    const auto blur = measured_blur(grid, {0, 0, 0}, 25.0, 2.0);
    ASSERT_TRUE(blur);
    RecordProperty("sigma_mm", std::to_string(blur->sigma_mm));
    EXPECT_GT(blur->edges, 40);
    EXPECT_NEAR(blur->sigma_mm, sigma, 0.1 * sigma) << blur->edges << " edges";
}

INSTANTIATE_TEST_SUITE_P(series_look, KnownBlur,
                         ::testing::Values(Blurred{0.3, 0.4}, Blurred{0.5, 0.4}, Blurred{0.8, 0.4}, Blurred{0.5, 0.8}, Blurred{0.8, 0.8}, Blurred{0.8, 1.15}, Blurred{1.2, 1.15}));

TEST(SeriesLook, finds_no_blur_where_there_are_no_edges) {
    std::mt19937 random(7);
    std::normal_distribution<double> noise(0.0, 10.0);
    EXPECT_FALSE(measured_blur(drawn(0.5, 80, 9, [&](int, int, int, double) { return noise(random); }), {0, 0, 0}, 18.0, 2.0));
}

// White where smoothness is 0.
struct Smooth {
    double sigma_pixels;
    double correlation(double dx, double dy) const {
        return sigma_pixels > 0.0 ? std::exp(-(dx * dx + dy * dy) / (4.0 * sigma_pixels * sigma_pixels)) : dx == 0.0 && dy == 0.0;
    }
};
class KnownNoise : public ::testing::TestWithParam<Smooth> {
protected:
    static constexpr double deviation = 12.0;
    /// On a slope, as vitreous lies in the coil's field.
    static VoxelGrid grid() {
        const double s = GetParam().sigma_pixels;
        constexpr int side = 70, margin = 8, wide = side + 2 * margin;
        std::mt19937 random(11);
        std::normal_distribution<double> normal;
        std::vector<std::vector<double>> slices(21, std::vector<double>(wide * wide));
        for (auto& slice : slices)
            for (double& v : slice) v = normal(random);
        double squares = 0.0;
        const auto weight = [&](int i, int j) { return s > 0.0 ? std::exp(-(i * i + j * j) / (2.0 * s * s)) : i == 0 && j == 0; };
        for (int j = -6; j <= 6; ++j)
            for (int i = -6; i <= 6; ++i) squares += weight(i, j) * weight(i, j);
        return drawn(0.5, side, 21, [&](int x, int y, int z, double) {
            double sum = 0.0;
            for (int j = -6; j <= 6; ++j)
                for (int i = -6; i <= 6; ++i) sum += weight(i, j) * slices[static_cast<std::size_t>(z)][static_cast<std::size_t>((y + j + margin) * wide + x + i + margin)];
            return 400.0 + 0.3 * x - 0.2 * y + deviation * sum / std::sqrt(squares);
        });
    }
};

// A globe's worth of pixels: some 2600, of which as many as the noise is smooth tell the same.
TEST_P(KnownNoise, is_recovered_with_its_deviation_and_correlation) {
    const std::vector<PatientPoint> centres{{0, 0, 0}};
    const auto texture = measured_noise(grid(), centres, 7.0);
    ASSERT_TRUE(texture);
    EXPECT_NEAR(texture->deviation, deviation, 0.08 * deviation);
    for (int dy = 0; dy <= 3; ++dy)
        for (int dx = -3; dx <= 3; ++dx) {
            EXPECT_NEAR(texture->at(dx, dy), GetParam().correlation(dx, dy), 0.12) << dx << ' ' << dy;
            EXPECT_EQ(texture->at(dx, dy), texture->at(-dx, -dy));
        }
    EXPECT_EQ(texture->at(0, 0), 1.0);
    EXPECT_EQ(texture->at(4, 0), 0.0);
}

// Many planes of it, so that the estimate's own scatter is small.
TEST_P(KnownNoise, is_made_as_it_is_told) {
    NoiseTexture told{deviation, 3, {}};
    for (int dy = -3; dy <= 3; ++dy)
        for (int dx = -3; dx <= 3; ++dx) told.correlation.push_back(GetParam().correlation(dx, dy));
    const CorrelatedNoise noise(told, 60, 50);
    double square[2]{}, beside = 0.0, diagonal = 0.0, cross = 0.0, count = 0.0;
    for (std::uint64_t key = 0; key < 40; ++key) {
        const ComplexPlane plane = noise.plane(key);
        for (int y = 0; y < 49; ++y)
            for (int x = 0; x < 59; ++x) {
                const Complex v = plane.at(x, y);
                square[0] += v.real() * v.real(), square[1] += v.imag() * v.imag(), cross += v.real() * v.imag();
                beside += v.real() * plane.at(x + 1, y).real(), diagonal += v.real() * plane.at(x + 1, y + 1).real();
                count += 1.0;
            }
    }
    const double variance = deviation * deviation;
    EXPECT_NEAR(square[0] / count, variance, 0.03 * variance);
    EXPECT_NEAR(square[1] / count, variance, 0.03 * variance);
    EXPECT_NEAR(cross / count, 0.0, 0.03 * variance);
    EXPECT_NEAR(beside / count / variance, GetParam().correlation(1, 0), 0.03);
    EXPECT_NEAR(diagonal / count / variance, GetParam().correlation(1, 1), 0.03);
}

INSTANTIATE_TEST_SUITE_P(series_look, KnownNoise, ::testing::Values(Smooth{0.0}, Smooth{0.6}, Smooth{0.9}));

TEST(SeriesLook, finds_no_noise_where_too_few_pixels_lie) {
    const std::vector<PatientPoint> outside{{500, 0, 0}}, inside{{0, 0, 0}};
    const VoxelGrid grid = drawn(0.5, 60, 9, [](int x, int, int, double) { return 3.0 * x; });
    EXPECT_FALSE(measured_noise(grid, outside, 7.0));
    ASSERT_TRUE(measured_noise(grid, inside, 7.0));
    EXPECT_NEAR(measured_noise(grid, inside, 7.0)->deviation, 0.0, 1e-3) << "a slope is no noise";
}

TEST(SeriesLook, levels_are_those_of_vitreous_and_of_the_fat_behind) {
    const RealGlobe globe{{0, 0, 0}, {1, 0, 0}, {0, 0, 1}, {0, -1, 0}, 12.0, [](PatientVector) { return 12.0; }};
    // A nerve of 5 mm diameter runs straight back through the fat; in front lies air.
    const VoxelGrid grid = drawn(0.5, 90, 30, [](int x, int y, int z, double corner) {
        const double left = corner + 0.5 * x, back = corner + 0.5 * y, up = 2.0 * z - 29.0;
        if (std::hypot(left, back, up) < 12.0) return 900.0;
        return back < 0.0 ? 0.0 : std::hypot(left, up) < 2.5 ? 300.0 : 700.0;
    });
    const ReferenceLevels levels = reference_levels(grid, globe);
    EXPECT_NEAR(levels.vitreous, 900.0, 1.0);
    EXPECT_NEAR(levels.fat, 700.0, 1.0);
}

TEST(SeriesLook, an_element_has_its_sequences_signal_on_the_patients_own_scale) {
    const Element gel{Material::hydrogel, Form::segmental, Section::rectangle, 1, 3, 12, 5, 4, 0, 0, 0.9, 0};
    const Element sponge{Material::silicone_sponge, Form::segmental, Section::ellipse, 1, 3, 12, 5, 4, 0, 0, 0, -550};
    for (const Kind kind : {Kind::t1, Kind::t1_fatsat, Kind::t2, Kind::t2_fatsat, Kind::stir, Kind::t1_gradient_echo, Kind::pd}) {
        const MrSetting setting = usual_mr_setting(kind);
        const double vitreous = std::abs(mr_look(Tissue::vitreous, setting).signal), fat = std::abs(mr_look(Tissue::fat, setting).signal);
        constexpr double scale = 0.37;
        const double gel_signal = element_level(gel, setting, {scale * vitreous, setting.fat_saturated ? 3.0 : scale * fat});
        EXPECT_NEAR(gel_signal, scale * std::abs(mr_look(gel, setting).signal), 1e-6) << name(kind);
    }
    // On T2 a gel that is nine tenths water shows beside the vitreous, and rubber shows nothing.
    const MrSetting t2 = usual_mr_setting(Kind::t2);
    EXPECT_GT(element_level(gel, t2, {1000, 400}), 300.0);
    EXPECT_LT(element_level(sponge, t2, {1000, 400}), 30.0);
}

}  // namespace
}  // namespace perisclera::phantoms
