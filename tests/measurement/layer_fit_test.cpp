// SPDX-License-Identifier: Apache-2.0
// Layers recovered from lines that were not drawn by the fit's own formula: steps convolved with a Gaussian by sums over a fine grid.
#include <cmath>
#include <random>

#include <gtest/gtest.h>

#include "src/measurement/layer_fit.h"

namespace perisclera {

namespace {

constexpr Known log_blur{-0.6, 0.12}, log_wall{-0.2, 0.2}, wall_contrast{37.0, 15.0}, outside{-20.0, 60.0};   // a blur of 0.55 mm, 1.3 mm full width; a wall of 0.8 mm

/// Steps seen through a Gaussian, by the midpoint rule at 0.01 mm over four standard deviations: to 1e-4 of a step.
double convolved(const Layers& l, double height) {
    constexpr double fine = 0.01;
    double sum = 0.0, weights = 0.0;
    for (double d = -4.0 * l.blur_mm + 0.5 * fine; d < 4.0 * l.blur_mm; d += fine) {
        const double w = std::exp(-0.5 * d * d / (l.blur_mm * l.blur_mm)), at = height - d;
        const double outer = l.inner_mm + l.thickness_mm;
        sum += w * (at < l.inner_mm - l.wall_mm ? l.inside : at < l.inner_mm ? l.wall : at < outer ? l.element : l.outside + l.outside_slope * (at - outer));
        weights += w;
    }
    return sum / weights;
}

LayerLine drawn(const Layers& layers, double noise, std::mt19937& chance) {
    LayerLine line{{}, 1.0, 1.0, log_blur, log_wall, wall_contrast, outside, -1000.0, 500.0};
    std::normal_distribution<double> normal;
    for (int k = 0; k < 18; ++k) {
        const double height = -4.0 + 0.5 * k;
        line.points.push_back({height, convolved(layers, height) + noise * normal(chance)});
    }
    return line;
}

struct Tally {
    int count = 0, thickness = 0, value = 0, product = 0;
    double error = 0.0, bias = 0.0, said = 0.0;   ///< of contrast times thickness, relative
};

/// Everything that is believed beforehand is drawn from what is believed, so that intervals of 95 % must hold the truth in 95 % (a property of probabilities, not of this code).
Tally tried(double thickness, double value, int seeds) {
    std::mt19937 chance(17);
    std::normal_distribution<double> normal;
    const auto draw = [&](Known k) { return k.mean + k.spread * normal(chance); };
    Tally t;
    for (int s = 0; s < seeds; ++s) {
        Layers l{8.0, 0.0, value, draw(outside), 0.0, std::exp(draw(log_wall)), 0.3 * normal(chance), thickness, std::exp(draw(log_blur))};
        l.wall = l.inside + draw(wall_contrast);
        const auto fit = fit_layers(drawn(l, 3.0, chance), 0.0, std::max(thickness, 1.0));
        if (!fit) continue;
        const double product = (value - 0.5 * (l.wall + l.outside)) * thickness;
        const auto holds = [](const Spread& m, double truth) { return m.low <= truth && truth <= m.high; };
        ++t.count;
        t.thickness += holds(fit->thickness, thickness), t.value += holds(fit->value, value), t.product += holds(fit->contrast_thickness, product);
        const double off = fit->contrast_thickness.median / product - 1.0;
        t.bias += off, t.error += off * off, t.said += (fit->contrast_thickness.high - fit->contrast_thickness.low) / (2.0 * 1.96 * std::abs(product));
    }
    t.bias /= t.count, t.error = std::sqrt(t.error / t.count), t.said /= t.count;
    return t;
}

class ThinLayer : public ::testing::TestWithParam<double> {};

}  // namespace

TEST_P(ThinLayer, keeps_its_contrast_times_thickness_and_intervals_hold_the_truth) {
    constexpr int seeds = 200;
    const Tally t = tried(GetParam(), 200.0, seeds);
    ASSERT_GE(t.count, seeds - 2);
    // 95 % less what chance allows in 200 at 1 %, two-sided: 0.95 - 2.58 * sqrt(0.95 * 0.05 / 200) = 91 %.
    constexpr double least = 0.91;
    EXPECT_GE(t.thickness, least * t.count);
    EXPECT_GE(t.value, least * t.count);
    EXPECT_GE(t.product, least * t.count);
    EXPECT_LT(std::abs(t.bias), 0.05) << "mean error";
    EXPECT_LT(t.said, 2.5 * t.error) << "intervals are no wider than they must be (half-width at most 2.5 times the spread of errors, in standard uncertainties 1.3; this is generous)";
    RecordProperty("product", t.product);
}

INSTANTIATE_TEST_SUITE_P(of, ThinLayer, ::testing::Values(0.6, 1.0, 1.5, 3.0), [](const auto& about) { return "tenths_of_a_millimetre_" + std::to_string(static_cast<int>(about.param * 10.0)); });

// 0.5 mm behind a blur of 1.3 mm: a layer twice as dense and half as thick would look the same, and is not excluded.
TEST(LayerFit, says_that_thickness_and_value_of_a_thin_layer_are_not_known_apart) {
    std::mt19937 chance(3);
    const Layers l{8.0, 45.0, 200.0, -20.0, 0.0, 0.82, 0.0, 0.5, 0.55};
    const auto fit = fit_layers(drawn(l, 2.0, chance), 0.0, 1.0);
    ASSERT_TRUE(fit);
    EXPECT_LT(fit->correlation, -0.6);
    EXPECT_LT(fit->thickness.low, 0.3);
    EXPECT_GT(fit->value.high, 300.0);
    const double product = (200.0 - 0.5 * (45.0 - 20.0)) * 0.5, said = fit->contrast_thickness.median;
    EXPECT_NEAR(said, product, 0.3 * product);
    EXPECT_LT((fit->contrast_thickness.high - fit->contrast_thickness.low) / said, 0.5 * (fit->thickness.high - fit->thickness.low) / fit->thickness.median) << "the product is known better";
}

// As muscle beside a swollen hydrogel: nothing tells where the one ends.
TEST(LayerFit, sees_no_edge_where_the_outside_is_as_the_element) {
    std::mt19937 chance(5);
    const auto step_of = [&](double beyond) {
        const auto fit = fit_layers(drawn({8.0, 45.0, 38.0, beyond, 0.0, 0.82, 0.0, 3.0, 0.55}, 3.0, chance), 0.0, 3.0);
        return fit ? fit->outer_step : 0.0;
    };
    EXPECT_LT(step_of(38.0), 3.0);
    EXPECT_GT(step_of(-90.0), 10.0);
}

TEST(LayerFit, draws_what_convolution_gives) {
    const Layers l{8.0, 50.0, 210.0, -90.0, 6.0, 0.9, -0.4, 1.3, 0.6};
    for (double h = -4.0; h < 5.0; h += 0.31) EXPECT_NEAR(blurred_signal(l, 1.0, h), convolved(l, h), 0.1) << h;
}

// The bare wall tells the blur: two edges, 0.8 mm apart, against fat.
TEST(LayerFit, reads_the_blur_from_a_bare_wall) {
    std::mt19937 chance(7);
    std::normal_distribution<double> normal;
    double sum = 0.0;
    constexpr int tries = 40;
    for (int k = 0; k < tries; ++k) {
        LayerLine line = drawn({8.0, 45.0, 0.0, -95.0, 0.0, 0.82, 0.2 * normal(chance), 1e-3, 0.5}, 3.0, chance);
        line.element_share = 0.0, line.log_blur = {-0.6, 0.8}, line.outside = {0.0, 1e6};
        const auto fit = fit_wall(line);
        ASSERT_TRUE(fit);
        sum += fit->log_blur.mean;
    }
    EXPECT_NEAR(std::exp(sum / tries), 0.5, 0.06) << "a tenth, from edges sampled every half millimetre";
}

}  // namespace perisclera
