// SPDX-License-Identifier: Apache-2.0
// Sections of known shape under a Gaussian blur: the rectangle's profile in closed form (error functions), the ellipse's by quadrature of its chords (thickness T sqrt(1 - u^2)).
// Half of its height lies at sqrt(3)/2 of an ellipse's half width.
#include <cmath>
#include <functional>
#include <numbers>
#include <string>

#include <gtest/gtest.h>

#include "src/measurement/section_profile.h"

namespace perisclera {

namespace {

constexpr int cells = 60;
constexpr double middle = 28.3, thickness = 5.0;

std::vector<double> rectangle(double half_width, double blur) {
    std::vector<double> profile;
    for (int i = 0; i < cells; ++i) {
        const auto step = [&](double edge) { return 0.5 * std::erf((i - edge) / (blur * std::numbers::sqrt2)); };
        profile.push_back(thickness * (step(middle - half_width) - step(middle + half_width)));
    }
    return profile;
}

std::vector<double> ellipse(double half_width, double blur) {
    constexpr int steps = 400;
    std::vector<double> profile(cells, 0.0);
    for (int i = 0; i < cells; ++i)
        for (int k = 0; k < steps; ++k) {
            // x = half width * sin a makes the ends smooth.
            const double a = std::numbers::pi * ((k + 0.5) / steps - 0.5), x = middle + half_width * std::sin(a);
            const double weight = std::exp(-0.5 * std::pow((i - x) / blur, 2)) / (blur * std::sqrt(2.0 * std::numbers::pi));
            profile[static_cast<std::size_t>(i)] += thickness * std::cos(a) * weight * half_width * std::cos(a) * std::numbers::pi / steps;
        }
    return profile;
}

struct Case {
    std::string name;
    std::function<std::vector<double>(double, double)> drawn;
    double half_width, blur;
};

class Section : public ::testing::TestWithParam<Case> {};

}  // namespace

TEST_P(Section, edges_and_thickness_are_those_of_its_shape) {
    const Case& c = GetParam();
    const auto fit = fit_section(c.drawn(c.half_width, c.blur), std::max(c.blur, 1.0));
    ASSERT_TRUE(fit);
    EXPECT_NEAR(fit->first, middle - c.half_width, 0.1 * c.half_width);
    EXPECT_NEAR(fit->last, middle + c.half_width, 0.1 * c.half_width);
    EXPECT_NEAR(fit->thickness, thickness, 0.06 * thickness);
    EXPECT_LT(std::abs(fit->first - (middle - c.half_width)), 3.0 * fit->edge_doubt + 0.3) << "no further off than its doubt and a third of a cell";
}

INSTANTIATE_TEST_SUITE_P(Of, Section,
                         ::testing::Values(Case{"RectangleSharp", rectangle, 9.0, 0.5}, Case{"RectangleBlurred", rectangle, 9.0, 1.5}, Case{"EllipseSharp", ellipse, 11.0, 0.5},
                                           Case{"EllipseBlurred", ellipse, 11.0, 2.0}, Case{"EllipseNarrow", ellipse, 7.0, 1.0}),
                         [](const auto& drawn) { return drawn.param.name; });

TEST(SectionProfile, an_ellipse_is_wider_than_where_it_is_half_as_high) {
    constexpr double half_width = 11.0;
    const auto fit = fit_section(ellipse(half_width, 0.5), 1.0);
    ASSERT_TRUE(fit);
    EXPECT_GT(0.5 * (fit->last - fit->first), (0.5 * std::sqrt(3.0) + 0.08) * half_width);
}

TEST(SectionProfile, blur_as_wide_as_the_taper_leaves_the_shape_in_doubt) {
    const auto sharp = fit_section(ellipse(8.0, 0.5), 1.0), blurred = fit_section(ellipse(8.0, 4.0), 4.0);
    ASSERT_TRUE(sharp && blurred);
    EXPECT_GT(blurred->edge_doubt, 2.0 * sharp->edge_doubt);
}

// Two fifths of an ellipse's height lie at sqrt(1 - 0.16) of its half width: cut off there and falling to nothing within a cell, it still shows its width.
TEST(SectionProfile, a_rod_is_told_without_its_taper) {
    constexpr double half_width = 5.0, blur = 1.2, seen = 0.4;
    std::vector<double> profile = ellipse(half_width, blur);
    for (double& v : profile)
        if (v < seen * thickness) v = 0.0;
    const auto rod = fit_rod(profile, blur), section = fit_section(profile, blur);
    ASSERT_TRUE(rod && section);
    EXPECT_NEAR(0.5 * (rod->last - rod->first), half_width, 0.04 * half_width);
    EXPECT_NEAR(0.5 * (rod->first + rod->last), middle, 0.1);
    EXPECT_LT(section->last - section->first, rod->last - rod->first) << "which takes the cut for the section's end";
}

TEST(SectionProfile, a_rod_is_as_wide_as_its_ellipse_seen_sharp_or_blurred) {
    for (const double blur : {0.4, 1.0, 1.5}) {
        const auto rod = fit_rod(ellipse(6.0, blur), blur);
        ASSERT_TRUE(rod);
        EXPECT_NEAR(0.5 * (rod->last - rod->first), 6.0, 0.25) << blur;
    }
}

// A crest on a flat base asks for an ellipse far wider than what is clear of its edges.
TEST(SectionProfile, a_peak_of_noise_makes_no_rod_much_wider) {
    std::vector<double> profile(cells, 0.0);
    for (int i = 24; i <= 32; ++i) profile[static_cast<std::size_t>(i)] = thickness * (1.0 + 0.02 * (i % 3));
    const auto rod = fit_rod(profile, 1.8);
    ASSERT_TRUE(rod);
    EXPECT_LT(rod->last - rod->first, 1.35 * 9.0);
}

TEST(SectionProfile, nothing_has_no_section) {
    EXPECT_FALSE(fit_section({}, 1.0));
    EXPECT_FALSE(fit_section(std::vector<double>(cells, 0.0), 1.0));
    EXPECT_FALSE(fit_rod({}, 1.0));
}

}  // namespace perisclera
