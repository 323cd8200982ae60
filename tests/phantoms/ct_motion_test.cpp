// SPDX-License-Identifier: Apache-2.0
// Motion during a slice. Expected, in closed form: a wave belongs to one projection and is shifted by where the head was then; no frequency loses power.
#include "phantoms/ct_motion.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace perisclera::phantoms {
namespace {

constexpr int side = 240;
constexpr double spacing = 0.5, period_mm = 8.0, middle = (side - 1) / 2.0;
const double pi_value = std::acos(-1.0);

/// A wave along a direction, dying away towards the edges, moved by so much along that direction.
Image wave(double direction, double moved_mm) {
    Image image(side, side);
    for (int y = 0; y < side; ++y)
        for (int x = 0; x < side; ++x) {
            const double dx = (x - middle) * spacing - moved_mm * std::cos(direction), dy = (y - middle) * spacing - moved_mm * std::sin(direction);
            const double along = dx * std::cos(direction) + dy * std::sin(direction);
            image.at(x, y) = static_cast<float>(100.0 * std::exp(-(dx * dx + dy * dy) / (2.0 * 20.0 * 20.0)) * std::cos(2.0 * pi_value * along / period_mm));
        }
    return image;
}

double worst_difference(const Image& a, const Image& b) {
    double worst = 0.0;
    for (std::size_t i = 0; i < a.values.size(); ++i) worst = std::max(worst, std::abs(static_cast<double>(a.values[i]) - static_cast<double>(b.values[i])));
    return worst;
}

// Half a turn runs from -1/2 to 1/2 of the drift. The wave's spread of 1/20 mm about its frequency spans some degrees, so a few per cent of its
// height differ.
TEST(CtMotion, a_wave_is_shifted_by_where_the_head_was_at_its_projection) {
    constexpr double drift = 3.0;
    for (const double turned : {0.25, 0.5, 0.75}) {
        const double direction = turned * pi_value;
        Image image = wave(direction, 0.0);
        const double along_drift = drift * std::cos(direction) * (turned - 0.5);
        move_during_turn(image, spacing, {drift, 0.0});
        EXPECT_LT(worst_difference(image, wave(direction, along_drift)), 12.0) << turned;
        EXPECT_GE(worst_difference(image, wave(direction, -along_drift)), turned == 0.5 ? 0.0 : 50.0) << turned;
    }
}

TEST(CtMotion, a_head_that_lies_still_leaves_the_image) {
    Image image = wave(0.7, 0.0);
    const Image before = image;
    move_during_turn(image, spacing, {0.0, 0.0});
    EXPECT_LT(worst_difference(image, before), 0.01);
}

// A disc whose edge the motion doubles; power, and the disc's sum, stay.
TEST(CtMotion, nothing_is_lost_and_edges_are_doubled) {
    Image image(side, side);
    for (int y = 0; y < side; ++y)
        for (int x = 0; x < side; ++x) image.at(x, y) = static_cast<float>(100.0 * std::clamp(40.5 - std::hypot(x - middle, y - middle), 0.0, 1.0));
    const Image before = image;
    move_during_turn(image, spacing, {2.0, 1.0});
    const auto moments = [](const Image& i) {
        double sum = 0.0, squares = 0.0;
        for (const float v : i.values) sum += static_cast<double>(v), squares += static_cast<double>(v) * static_cast<double>(v);
        return std::array<double, 2>{sum, squares};
    };
    EXPECT_NEAR(moments(image)[0], moments(before)[0], 0.01 * moments(before)[0]);
    EXPECT_NEAR(moments(image)[1], moments(before)[1], 0.01 * moments(before)[1]);
    EXPECT_GT(worst_difference(image, before), 30.0);
}

}  // namespace
}  // namespace perisclera::phantoms
