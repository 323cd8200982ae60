// SPDX-License-Identifier: Apache-2.0
// A bright shell sector about an eye in fat at one date, and the same eye at another: whole, cut back or without it. What is there is what was drawn.
#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include "perisclera/timeline/place_left.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

constexpr double radius = 12.0, degrees = std::numbers::pi / 180.0, fat = -90.0, silicone = 190.0;

test::ShellSector piece(double from, double span) { return {from, span, 65 * degrees, 95 * degrees, 0.0, 2.5}; }

/// `around`: of what lies on the globe all round, 1.5 mm thick.
PolarBlock eye_with(const std::optional<test::ShellSector>& sector, Eye eye = Eye::right, double around = fat) {
    const PatientPoint middle{eye == Eye::right ? 0.0 : 62.0, 0, 0};
    const Globe globe = test::ball_globe(eye, middle, radius);
    return PolarBlock(test::drawn_grid(middle, {80, 80, 40}, {0.5, 0.5, 1.0}, [&](PatientPoint p) {
        const EyePoint at = globe.frame.to_eye(p);
        if (sector && sector->holds(at, radius)) return silicone;
        const double r = std::hypot(at.x, at.y, at.z);
        return r < radius ? 10.0 : r < radius + 1.5 ? around : fat;
    }), globe);
}

FoundElement element(const test::ShellSector& sector) { return test::element_of(sector, Appearance::ct_bright, silicone, fat); }

}  // namespace

TEST(PlaceLeft, is_empty_where_an_element_was_taken_away) {
    const auto whole = piece(1.0, 4.0), rest = piece(1.0, 2.0);
    const PolarBlock before = eye_with(whole);
    EXPECT_LT(still_stands_out({before}, element(whole), {eye_with(std::nullopt)}, {}).value().share, 0.5);
    const FoundElement left = element(rest);
    EXPECT_LT(still_stands_out({before}, element(whole), {eye_with(rest)}, {&left}).value().share, 0.5);
}

TEST(PlaceLeft, stands_out_as_before_where_an_element_was_only_not_recognised) {
    const auto whole = piece(1.0, 4.0);
    const PolarBlock before = eye_with(whole), after = eye_with(whole);
    EXPECT_NEAR(still_stands_out({before}, element(whole), {after}, {}).value().share, 1.0, 0.05);
    const FoundElement left = element(piece(1.0, 2.0));
    EXPECT_NEAR(still_stands_out({before}, element(whole), {after}, {&left}).value().share, 1.0, 0.05);
}

TEST(PlaceLeft, is_told_by_the_fellow_eye_where_muscle_stands_out_as_well) {
    constexpr double muscle = 60.0;
    const auto whole = piece(1.0, 4.0);
    const PolarBlock before = eye_with(whole, Eye::right, muscle), free = eye_with(std::nullopt, Eye::right, muscle), fellow = eye_with(std::nullopt, Eye::left, muscle);
    EXPECT_LT(still_stands_out({before, &fellow}, element(whole), {free, &fellow}, {}).value().share, 0.2);
    EXPECT_NEAR(still_stands_out({before, &fellow}, element(whole), {before, &fellow}, {}).value().share, 1.0, 0.05);
}

TEST(PlaceLeft, tells_nothing_where_no_hour_was_given_up_or_none_is_imaged) {
    const auto whole = piece(1.0, 4.0);
    const PolarBlock before = eye_with(whole);
    const FoundElement same = element(whole);
    EXPECT_FALSE(still_stands_out({before}, same, {before}, {&same}).has_value());
    const PolarBlock elsewhere(test::drawn_grid({40, 0, 0}, {20, 20, 20}, {0.5, 0.5, 0.5}, [](PatientPoint) { return 0.0; }), test::ball_globe(Eye::right, {0, 0, 0}, radius));
    EXPECT_FALSE(still_stands_out({before}, same, {elsewhere}, {}).has_value());
}

}  // namespace perisclera
