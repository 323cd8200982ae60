// SPDX-License-Identifier: Apache-2.0
// Lines of equal value against circles and straight edges, whose length and area have closed forms.
#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include "perisclera/image/contour.h"

namespace perisclera {

namespace {

constexpr std::size_t width = 96, height = 80;

template <class Function>
std::vector<float> picture(Function&& value) {
    std::vector<float> values;
    for (std::size_t y = 0; y < height; ++y)
        for (std::size_t x = 0; x < width; ++x) values.push_back(static_cast<float>(value(static_cast<double>(x), static_cast<double>(y))));
    return values;
}

double length_of(const Contour& line) {
    double sum = 0.0;
    for (std::size_t i = 1; i < line.size(); ++i) sum += std::hypot(line[i].x - line[i - 1].x, line[i].y - line[i - 1].y);
    return sum;
}

/// Shoelace formula.
double area_of(const Contour& line) {
    double sum = 0.0;
    for (std::size_t i = 1; i < line.size(); ++i) sum += line[i - 1].x * line[i].y - line[i].x * line[i - 1].y;
    return std::abs(0.5 * sum);
}

}  // namespace

TEST(Contours, a_circle_has_its_circumference_and_area) {
    constexpr double radius = 25.3;
    const auto lines = contours(picture([&](double x, double y) { return radius - std::hypot(x - 47.4, y - 38.7); }), width, height, 0.0);
    ASSERT_EQ(lines.size(), 1U);
    const Contour& circle = lines.front();
    EXPECT_EQ(circle.front().x, circle.back().x);
    EXPECT_EQ(circle.front().y, circle.back().y);
    EXPECT_NEAR(length_of(circle), 2.0 * std::numbers::pi * radius, 0.002 * 2.0 * std::numbers::pi * radius);
    EXPECT_NEAR(area_of(circle), std::numbers::pi * radius * radius, 0.002 * std::numbers::pi * radius * radius);
    for (const ContourPoint& p : circle) EXPECT_NEAR(std::hypot(p.x - 47.4, p.y - 38.7), radius, 0.02);
}

TEST(Contours, the_level_moves_the_circle) {
    const auto values = picture([](double x, double y) { return 30.0 - std::hypot(x - 47.4, y - 38.7); });
    for (const double level : {5.0, 12.5, 20.0}) {
        const auto lines = contours(values, width, height, level);
        ASSERT_EQ(lines.size(), 1U);
        const double radius = 30.0 - level;
        EXPECT_NEAR(area_of(lines.front()), std::numbers::pi * radius * radius, 0.005 * std::numbers::pi * radius * radius);
    }
}

TEST(Contours, bodies_apart_give_lines_apart_and_nothing_gives_none) {
    const auto two = picture([](double x, double y) { return 10.0 - std::min(std::hypot(x - 20.0, y - 40.0), std::hypot(x - 70.0, y - 40.0)); });
    EXPECT_EQ(contours(two, width, height, 0.0).size(), 2U);
    EXPECT_TRUE(contours(two, width, height, 11.0).empty());
    EXPECT_TRUE(contours(picture([](double, double) { return 3.0; }), width, height, 0.0).empty());
}

// Linear interpolation is exact on a plane: the line x + 2 y = 61.7 from edge to edge of the picture.
TEST(Contours, a_straight_edge_stays_straight_and_open) {
    const auto lines = contours(picture([](double x, double y) { return x + 2.0 * y; }), width, height, 61.7);
    ASSERT_EQ(lines.size(), 1U);
    for (const ContourPoint& p : lines.front()) EXPECT_NEAR(p.x + 2.0 * p.y, 61.7, 1e-4);
    // From (61.7, 0) to (0, 30.85).
    EXPECT_NEAR(length_of(lines.front()), std::hypot(61.7, 30.85), 1e-3);
}

}  // namespace perisclera
