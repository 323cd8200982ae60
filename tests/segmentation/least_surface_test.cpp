// SPDX-License-Identifier: Apache-2.0
// Evidence for drawn bodies: what is plain stays as it is, specks and holes go, what is not told is bridged. A ball of evidence -1 within and 1 without is kept where its
// volume times 1 outweighs its surface times the weight, that is from a radius of three times the weight on (closed form).
#include <cmath>
#include <numbers>
#include <random>

#include <gtest/gtest.h>

#include "src/segmentation/least_surface.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

constexpr double radius = 12.2, degrees = std::numbers::pi / 180.0;

const PolarBlock& block() {
    static const PolarBlock made(test::drawn_grid({0, 0, 0}, {40, 40, 40}, {1.2, 1.2, 1.2}, [](PatientPoint) { return 0.0; }), test::ball_globe(Eye::right, {0, 0, 0}, radius));
    return made;
}

EyePoint place(std::size_t i) {
    const PolarCell c = PolarBlock::cell(i);
    return block().eye_point(PolarBlock::clock_hours(c.clock), PolarBlock::polar_radians(c.polar), PolarBlock::height_mm(c.height));
}

/// Over the equator at three o'clock, or wherever it is asked.
EyePoint at(double hours, double height_mm) { return block().eye_point(hours, 90 * degrees, height_mm); }

PolarMask ball(EyePoint middle, double ball_mm) {
    PolarMask mask(PolarBlock::cell_count, 0);
    for (std::size_t i = 0; i < mask.size(); ++i) mask[i] = length(place(i) - middle) <= ball_mm;
    return mask;
}

double volume(const std::vector<float>& share, const GridStretch& s) {
    double sum = 0.0;
    s.for_each([&](std::size_t here, std::size_t i) { sum += static_cast<double>(share[here]) * block().cell_volume_mm3(PolarBlock::cell(i)); });
    return sum;
}

/// Volume left of what `told` says of each cell.
template <class Told>
double left(const PolarMask& about, double surface_mm, Told&& told) {
    const GridStretch s = stretch_about(about);
    std::vector<float> evidence(s.size());
    s.for_each([&](std::size_t here, std::size_t i) { evidence[here] = told(i); });
    return volume(least_surface(block(), s, evidence, surface_mm), s);
}

constexpr double ball_mm = 3.5, ball_mm3 = 4.0 / 3.0 * std::numbers::pi * ball_mm * ball_mm * ball_mm;

}  // namespace

TEST(LeastSurface, keeps_a_plain_body_and_its_volume) {
    const PolarMask mask = ball(at(3.0, 4.5), ball_mm);
    EXPECT_NEAR(left(mask, 0.25, [&](std::size_t i) { return mask[i] ? -1.0f : 1.0f; }), ball_mm3, 0.06 * ball_mm3);
}

TEST(LeastSurface, keeps_a_body_across_twelve_o_clock_and_a_ring) {
    const PolarMask mask = ball(at(0.0, 4.5), ball_mm);
    EXPECT_NEAR(left(mask, 0.25, [&](std::size_t i) { return mask[i] ? -1.0f : 1.0f; }), ball_mm3, 0.06 * ball_mm3);
    const test::ShellSector ring{0.0, 12.0, 76 * degrees, 106 * degrees, -0.1, 4.9};
    PolarMask all(PolarBlock::cell_count, 0);
    for (std::size_t i = 0; i < all.size(); ++i) all[i] = ring.holds(place(i), radius);
    EXPECT_TRUE(stretch_about(all).round);
    EXPECT_NEAR(left(all, 0.25, [&](std::size_t i) { return all[i] ? -1.0f : 1.0f; }), ring.volume_mm3(radius), 0.06 * ring.volume_mm3(radius));
}

TEST(LeastSurface, drops_a_ball_below_three_times_its_weight) {
    constexpr double small_mm = 1.6;
    const PolarMask mask = ball(at(3.0, 4.5), small_mm);
    const auto told = [&](std::size_t i) { return mask[i] ? -1.0f : 1.0f; };
    constexpr double whole = 4.0 / 3.0 * std::numbers::pi * small_mm * small_mm * small_mm;
    EXPECT_GT(left(mask, 0.7 * small_mm / 3.0, told), 0.6 * whole);
    EXPECT_LT(left(mask, 1.5 * small_mm / 3.0, told), 0.05 * whole);
}

TEST(LeastSurface, noise_makes_no_specks_and_no_holes) {
    const PolarMask mask = ball(at(3.0, 4.5), ball_mm);
    std::mt19937 chance(7);
    std::vector<float> noise(PolarBlock::cell_count);
    for (float& n : noise) n = static_cast<float>(chance() >> 8) / 16777216.0f * 2.0f - 1.0f;
    EXPECT_NEAR(left(mask, 0.25, [&](std::size_t i) { return (mask[i] ? -0.5f : 0.5f) + noise[i]; }), ball_mm3, 0.15 * ball_mm3);
}

TEST(LeastSurface, bridges_what_is_not_told) {
    const PolarMask mask = ball(at(3.0, 4.5), ball_mm), gap = ball(at(3.0, 4.5), 1.2);
    EXPECT_NEAR(left(mask, 0.25, [&](std::size_t i) { return gap[i] ? 0.0f : mask[i] ? -1.0f : 1.0f; }), ball_mm3, 0.06 * ball_mm3);
}

}  // namespace perisclera
