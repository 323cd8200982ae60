// SPDX-License-Identifier: Apache-2.0
// Errors of globes against closed forms: a sphere set off by a known vector, tilted by a known angle, larger by a known length.
#include "globe_comparison.h"

#include <gtest/gtest.h>

#include <cmath>

#include "coverage.h"
#include "tests/support/drawn_eye.h"

namespace perisclera::globes {

constexpr double radius = 12.0;

phantoms::Series straight_series() {
    const auto scenario = phantoms::parse_scenario(R"({"seed": 1, "patient": {"id": "A", "birth_year": 1950}, "timepoints": [{"study_date": "2020-01-31", "series": [{"kind": "ct"}]}]})");
    return scenario.value().timepoints[0].series[0];
}

/// A sphere that looks straight ahead, its centre 31 mm beside the head's middle.
TrueEye true_sphere() {
    return TrueEye(phantoms::GlobeShape::sphere(radius), phantoms::EyePlacement::looking({31.0, 0.0, 0.0}, 0.0, 0.0), phantoms::HeadPose(straight_series()));
}

Globe globe_off_by(PatientVector shift, double outer_radius = radius) { return test::ball_globe(Eye::left, true_sphere().centre() + shift, outer_radius); }

TEST(Surface, the_distance_from_a_sphere_is_that_from_its_centre_less_the_radius) {
    const Globe globe = globe_off_by({0, 0, 0});
    const PatientPoint centre = globe.frame.origin();
    EXPECT_NEAR(distance_from_surface(globe, centre + PatientVector{0, 13.5, 0}), 1.5, 1e-9);
    EXPECT_NEAR(distance_from_surface(globe, centre + PatientVector{0, 0, -11.0}), -1.0, 1e-9);
}

// The surface r = R + c x y, x and y those of the direction, has in the plane of both the radius R + c sin(2t)/2 at the angle t, and there the slope
// dr/(r dt) = c cos(2t)/r. A point close outside lies nearer to it than along the ray, by the factor 1 / sqrt(1 + slope^2).
TEST(Surface, a_slope_of_the_surface_brings_it_nearer_than_along_the_ray) {
    Globe globe = globe_off_by({0, 0, 0});
    constexpr double c = 6.0, height = 0.01;
    globe.outer_radius = SmoothRadius({radius, 0, 0, 0, c, 0, 0, 0, 0, 0}, globe.frame.anterior());
    const auto expected = [&](double t) {
        const double r = radius + c * std::sin(2.0 * t) / 2.0, slope = c * std::cos(2.0 * t) / r;
        return height / std::sqrt(1.0 + slope * slope);
    };
    for (const double t : {0.0, 0.3, phantoms::pi / 4.0}) {
        const PatientVector d{std::cos(t), std::sin(t), 0.0};
        EXPECT_NEAR(distance_from_surface(globe, globe.frame.origin() + d * (radius + c * std::sin(2.0 * t) / 2.0 + height)), expected(t), 2e-5) << t;
    }
}

// A sphere moved by s lies off by |s u| to first order where u is the cosine to the shift; u is spread evenly on a sphere. The sclera behind the limbus takes u from
// -1 to c, the limbus' cosine, for a shift along the axis: the mean of |u| there is (1 + c^2) / (2 (1 + c)), and the largest is 1. Second order: s^2 / (2 R).
TEST(Errors, a_sphere_moved_along_its_axis_is_off_by_the_closed_form) {
    const double c = std::cos(std::asin(5.9 / radius));  // the limbus' circle: GlobeShape's definition
    constexpr double shift = 0.4;
    const GlobeErrors errors = errors_of(globe_off_by(true_sphere().anterior() * shift), true_sphere());
    EXPECT_NEAR(errors.surface_mean_mm, shift * (1.0 + c * c) / (2.0 * (1.0 + c)), shift * shift / (2.0 * radius) + 0.002);
    EXPECT_NEAR(errors.surface_max_mm, shift, 0.005);
    EXPECT_NEAR(errors.along_mm, shift, 1e-9);
    EXPECT_NEAR(errors.across_mm, 0.0, 1e-9);
    EXPECT_NEAR(errors.diameter_mm, 0.0, 1e-9);
}

// Across the axis |u| = sin(polar) |cos(azimuth)|, whose mean over the azimuth is 2/pi sin(polar). Over cosines from -1 to c the mean of sqrt(1 - z^2) is
// (z sqrt(1 - z^2) + asin z)/2 between the limits, over 1 + c.
TEST(Errors, a_sphere_moved_across_its_axis_is_off_by_the_closed_form) {
    const double c = std::cos(std::asin(5.9 / radius));
    constexpr double shift = 0.4;
    const double mean_sine = ((c * std::sqrt(1.0 - c * c) + std::asin(c)) / 2.0 + phantoms::pi / 4.0) / (1.0 + c);
    const GlobeErrors errors = errors_of(globe_off_by(true_sphere().superior() * -shift), true_sphere());
    EXPECT_NEAR(errors.surface_mean_mm, shift * 2.0 / phantoms::pi * mean_sine, shift * shift / (2.0 * radius) + 0.002);
    EXPECT_NEAR(errors.along_mm, 0.0, 1e-9);
    EXPECT_NEAR(errors.across_mm, shift, 1e-9);
}

TEST(Errors, a_larger_sphere_is_off_by_the_difference_everywhere) {
    const GlobeErrors errors = errors_of(globe_off_by({0, 0, 0}, radius + 0.25), true_sphere());
    EXPECT_NEAR(errors.surface_mean_mm, 0.25, 1e-6);
    EXPECT_NEAR(errors.surface_max_mm, 0.25, 1e-6);
    EXPECT_NEAR(errors.diameter_mm, 0.5, 1e-6);
}

TEST(Errors, the_axis_is_off_by_the_angle_between) {
    Globe globe = globe_off_by({0, 0, 0});
    const double turn = 5.0 * phantoms::pi / 180.0;
    const TrueEye truth = true_sphere();
    globe.frame = EyeFrame(truth.centre(), truth.anterior() * std::cos(turn) + truth.superior() * std::sin(turn), truth.superior());
    globe.axis_uncertainty = Degrees(2.0);
    const GlobeErrors errors = errors_of(globe, truth);
    EXPECT_NEAR(errors.axis_deg, 5.0, 1e-6);
    EXPECT_NEAR(errors.axis.errors[0], 0.0, 1e-6);
    EXPECT_NEAR(errors.axis.errors[1], 5.0, 1e-6);
    // A half of both components' 95 % circle is 2.448 times 2 degrees = 4.9 (chi-square of two degrees of freedom: 5.991).
    EXPECT_FALSE(errors.axis.holds);
    globe.axis_uncertainty = Degrees(2.1);
    EXPECT_TRUE(errors_of(globe, truth).axis.holds);
}

TEST(Errors, an_axial_length_counts_only_where_it_is_measured) {
    Globe globe = globe_off_by({0, 0, 0});
    const double truth = true_sphere().shape().axial_length();
    globe.axial_length = Unmeasured{"not seen"};
    EXPECT_FALSE(errors_of(globe, true_sphere()).axial_length);
    EXPECT_FALSE(errors_of(globe, true_sphere()).axial_length_mm);
    globe.axial_length = Measured<Mm>::from_standard_uncertainty(Mm(truth + 0.3), Mm(0.1));
    EXPECT_NEAR(errors_of(globe, true_sphere()).axial_length_mm.value(), 0.3, 1e-9);
    EXPECT_FALSE(errors_of(globe, true_sphere()).axial_length->holds);
    globe.axial_length = Measured<Mm>::from_standard_uncertainty(Mm(truth + 0.3), Mm(0.2));
    EXPECT_TRUE(errors_of(globe, true_sphere()).axial_length->holds);
}

TEST(Sightings, a_globe_is_the_true_one_to_6_mm_the_fellow_on_the_wrong_side_or_false) {
    const TrueEye own = true_sphere();
    const TrueEye fellow(phantoms::GlobeShape::sphere(radius), phantoms::EyePlacement::looking({-31.0, 0.0, 0.0}, 0.0, 0.0), phantoms::HeadPose(straight_series()));
    EXPECT_EQ(sighting_of(globe_off_by({0, 5.9, 0}), own, fellow), Sighting::found);
    EXPECT_EQ(sighting_of(globe_off_by({0, 6.1, 0}), own, fellow), Sighting::false_globe);
    EXPECT_EQ(sighting_of(globe_off_by({-62.0, 0, 0}), own, fellow), Sighting::wrong_side);
    EXPECT_EQ(sighting_of(globe_off_by({0, 0, 0}), std::nullopt, fellow), Sighting::false_globe);
    EXPECT_EQ(sighting_of(std::nullopt, own, fellow), Sighting::missed);
    EXPECT_EQ(sighting_of(std::nullopt, std::nullopt, fellow), Sighting::rightly_none);
}

VolumeGeometry images_about(PatientPoint middle, std::array<int, 3> size) {
    const PatientVector half{(size[0] - 1) / 2.0, (size[1] - 1) / 2.0, (size[2] - 1) / 2.0};
    return VolumeGeometry::make(middle - half, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {1.0, 1.0}, size).value();
}

// A plane at the distance d from the centre cuts off the cap (1 - d/R)^2 (2 + d/R) / 4 of a ball.
TEST(ShareHeld, is_the_ball_less_the_caps_cut_off) {
    const TrueEye eye = true_sphere();
    EXPECT_DOUBLE_EQ(share_held(eye, images_about(eye.centre(), {30, 30, 30})), 1.0);
    const double d = 6.0 / radius, cap = (1.0 - d) * (1.0 - d) * (2.0 + d) / 4.0;
    EXPECT_NEAR(share_held(eye, images_about(eye.centre(), {30, 30, 12})), 1.0 - 2.0 * cap, 0.01);
    EXPECT_NEAR(share_held(eye, images_about(eye.centre() + PatientVector{0, 15.0, 0}, {30, 30, 30})), 0.5, 0.01);
    EXPECT_DOUBLE_EQ(share_held(eye, images_about(eye.centre() + PatientVector{0, 0, 60.0}, {30, 30, 30})), 0.0);
}

// With a true 95 %: none of 2 has 0.05^2 = 0.0025, one or none of 2 has 1 - 0.95^2 = 0.0975; all of 103 has 0.95^103 = 0.00507, of 104 0.00482.
TEST(Coverage, is_rejected_as_the_binomial_distribution_says) {
    EXPECT_TRUE(rejected_against_95_percent(0, 2));
    EXPECT_FALSE(rejected_against_95_percent(1, 2));
    EXPECT_FALSE(rejected_against_95_percent(103, 103));
    EXPECT_TRUE(rejected_against_95_percent(104, 104));
    EXPECT_FALSE(rejected_against_95_percent(380, 400));
}

TEST(Coverage, counts_what_holds_and_compares_width_and_error) {
    const Coverage c = coverage_of({{true, 3.0, {1.0}}, {false, 4.0, {-1.0}}, {true, 3.0, {1.0}}, {true, 4.0, {-1.0}}});
    EXPECT_EQ(c.held, 3);
    EXPECT_EQ(c.all, 4);
    EXPECT_DOUBLE_EQ(c.deviation, 1.0);
    EXPECT_DOUBLE_EQ(c.half_width, std::sqrt(12.5));  // root mean square of 3, 4, 3, 4
    EXPECT_TRUE(c.is_too_wide());
    EXPECT_FALSE(coverage_of({{true, 2.4, {1.0}}, {true, 2.4, {-1.0}}}).is_too_wide());
}

}  // namespace perisclera::globes
