// SPDX-License-Identifier: Apache-2.0
// Quality of a series round a globe, on drawn images whose noise, ghosts, streaks, metal and missing parts have closed forms.
#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>

#include <gtest/gtest.h>

#include "perisclera/anatomy/series_quality.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

constexpr double radius = 12.0;
const PatientPoint centre{30.0, -40.0, 10.0};

/// Uniform noise of a standard deviation: half-width times 1 over the square root of 3. The same for the same place in every run.
double noise(double deviation) {
    static unsigned state = 1u;
    state = state * 1664525u + 1013904223u;
    return deviation * std::sqrt(3.0) * (2.0 * (state >> 8) / 16777216.0 - 1.0);
}

/// Vitreous of 10 within fat of -90 with a shading of 0.3 per mm; noise is per voxel, so it is added after the mean over the voxel.
VoxelGrid eye_image(std::array<int, 3> size, std::array<double, 3> spacing, PatientPoint middle, double deviation, const std::function<double(PatientPoint)>& more) {
    const VoxelGrid clean = test::drawn_grid(middle, size, spacing, [&](PatientPoint p) {
        const PatientVector d = p - centre;
        return (length(d) < radius - 1.1 ? 10.0 : -90.0) + 0.3 * d.z + more(p);
    });
    std::vector<float> values = clean.values();
    for (float& v : values) v += static_cast<float>(noise(deviation));
    return {clean.geometry(), std::move(values)};
}

double nothing(PatientPoint) { return 0.0; }

constexpr std::array<int, 3> size{90, 90, 44};
constexpr std::array<double, 3> spacing{0.5, 0.5, 1.0};

GlobeQuality quality_of(const VoxelGrid& grid, Modality modality) { return globe_quality(grid, modality, test::ball_globe(Eye::left, centre, radius)); }

bool any_says(const std::vector<std::string>& words, const std::string& part) {
    return std::any_of(words.begin(), words.end(), [&](const std::string& w) { return w.find(part) != std::string::npos; });
}

}  // namespace

TEST(SeriesQuality, noise_is_measured_and_shading_is_not_noise) {
    for (const double deviation : {3.0, 12.0, 40.0}) {
        const GlobeQuality q = quality_of(eye_image(size, spacing, centre, deviation, nothing), Modality::ct);
        ASSERT_TRUE(q.texture);
        EXPECT_NEAR(q.texture->noise, deviation, 0.05 * deviation);
        EXPECT_EQ(q.texture->pattern, 0.0) << "noise alike in all directions is no pattern";
        EXPECT_EQ(q.beyond_images, 0.0);
    }
}

TEST(SeriesQuality, a_clean_series_needs_no_word) {
    const auto grid = eye_image(size, spacing, centre, 3.0, nothing);
    for (const Modality m : {Modality::ct, Modality::mr}) EXPECT_TRUE(in_words(quality_of(grid, m), m, test::ball_globe(Eye::left, centre, radius)).empty());
}

// A wave of amplitude A has the standard deviation A / sqrt(2), whatever its length as long as the lags span it.
TEST(SeriesQuality, ghosts_along_either_axis_are_found_with_size_and_direction) {
    for (const bool along_columns : {false, true})
        for (const double wavelength : {4.0, 6.0, 9.0}) {
            const double amplitude = 20.0;
            const auto ghost = [&](PatientPoint p) { return amplitude * std::sin(2.0 * std::numbers::pi * (along_columns ? p.y : p.x) / wavelength); };
            const auto grid = eye_image(size, spacing, centre, 6.0, ghost);
            const GlobeQuality q = quality_of(grid, Modality::mr);
            ASSERT_TRUE(q.texture);
            EXPECT_NEAR(q.texture->pattern, amplitude / std::sqrt(2.0), 0.35 * amplitude / std::sqrt(2.0)) << wavelength;
            EXPECT_GT(std::abs(along_columns ? q.texture->pattern_along.y : q.texture->pattern_along.x), 0.9) << wavelength;
            EXPECT_TRUE(any_says(in_words(q, Modality::mr, test::ball_globe(Eye::left, centre, radius)), along_columns ? "ghosts of motion, from front to back" : "ghosts of motion, from side to side"));
        }
}

TEST(SeriesQuality, streaks_from_a_distance_are_told_on_ct) {
    // Lines that spread from a point 60 mm below in the slice: nearly parallel within the globe, here aslant.
    const auto streak = [](PatientPoint p) { return 30.0 * std::sin(60.0 * std::atan2(p.y - centre.y - 45.0, p.x - centre.x - 45.0)); };
    const auto grid = eye_image(size, spacing, centre, 8.0, streak);
    const GlobeQuality q = quality_of(grid, Modality::ct);
    ASSERT_TRUE(q.texture);
    EXPECT_GT(q.texture->pattern, 12.0);
    EXPECT_TRUE(any_says(in_words(q, Modality::ct, test::ball_globe(Eye::left, centre, radius)), "streaks of"));
}

TEST(SeriesQuality, metal_is_measured_from_the_sclera) {
    const PatientPoint clip = centre + PatientVector{0.0, -20.0, 0.0};
    auto grid = eye_image(size, spacing, centre, 5.0, [&](PatientPoint p) { return length(p - clip) < 0.8 ? 20000.0 : 0.0; });
    const GlobeQuality q = quality_of(grid, Modality::ct);
    ASSERT_TRUE(q.metal_distance);
    EXPECT_NEAR(q.metal_distance->value(), 20.0 - 0.8 - radius, 0.6);
    EXPECT_FALSE(quality_of(grid, Modality::mr).metal_distance) << "MR has no number for metal";
}

// A cap: a ball of 18 mm cut at a height h above its centre keeps (R-h)^2 (2R+h) / (4 R^3) beyond the plane.
TEST(SeriesQuality, what_lies_beyond_the_images_is_a_cap_of_the_ball) {
    const double ball = radius + 6.0;
    for (const double height : {0.0, 6.0, 12.0}) {
        // Slices from far below to the height: the last voxel's centre lies half a slice lower.
        const int slices = 40;
        const auto grid = eye_image({90, 90, slices}, spacing, centre + PatientVector{0, 0, height - 0.5 * slices}, 5.0, nothing);
        const GlobeQuality q = quality_of(grid, Modality::ct);
        EXPECT_NEAR(q.beyond_images, (ball - height) * (ball - height) * (2 * ball + height) / (4 * ball * ball * ball), 0.01) << height;
        EXPECT_GT(q.missing_towards.z, 0.99);
        EXPECT_TRUE(any_says(in_words(q, Modality::ct, test::ball_globe(Eye::left, centre, radius)), "beyond the images, above"));
    }
}

TEST(SeriesQuality, too_few_voxels_in_the_vitreous_give_no_number) {
    EXPECT_FALSE(quality_of(eye_image({20, 20, 10}, {4, 4, 5}, centre, 1.0, nothing), Modality::mr).texture);
}

TEST(SeriesQuality, the_share_of_the_border_within_the_head) {
    // A slab of tissue that fills the images from side to side and half their depth: one short side and half of two long ones.
    const auto grid = test::drawn_grid({0, 0, 0}, {80, 40, 20}, {1, 1, 1}, [](PatientPoint p) { return p.y > 0.0 ? 40.0 : -1000.0; });
    EXPECT_NEAR(head_on_border(grid, Modality::ct, {0, 0, 0}), (80.0 + 2 * 19) / (2 * 80 + 2 * 38), 0.02);
    const auto signal = test::drawn_grid({0, 0, 0}, {80, 40, 20}, {1, 1, 1}, [](PatientPoint p) { return std::hypot(p.x, p.y) < 15.0 ? 900.0 : 30.0; });
    EXPECT_EQ(head_on_border(signal, Modality::mr, {0, 0, 0}), 0.0);
}

}  // namespace perisclera
