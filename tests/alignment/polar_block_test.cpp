// SPDX-License-Identifier: Apache-2.0
// The polar grid against closed forms: cells fill their shell, values are those of the image, the fellow eye is the mirrored clock.
#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include "perisclera/alignment/eye_views.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

constexpr double radius = 12.2;
constexpr PatientPoint right_eye{-32, -60, 8}, left_eye{32, -60, 8};

VoxelGrid ramp_image(double spacing) {
    return test::drawn_grid(left_eye, {120, 120, 120}, {spacing, spacing, spacing}, [](PatientPoint p) { return 3.0 * p.x - 2.0 * p.y + 5.0 * p.z + 40.0; });
}

}  // namespace

// Shell between the outermost cell faces: solid angle times a third of the difference of the cubes.
TEST(PolarBlock, cell_volumes_sum_to_the_shell) {
    const PolarBlock block(ramp_image(0.5), test::ball_globe(Eye::left, left_eye, radius));
    double sum = 0.0;
    for (std::size_t i = 0; i < PolarBlock::cell_count; ++i) sum += block.cell_volume_mm3(PolarBlock::cell(i));
    const double front = PolarBlock::polar_first - PolarBlock::polar_step / 2, back = front + PolarBlock::polar_count * PolarBlock::polar_step;
    const double inner = radius + PolarBlock::height_first_mm - PolarBlock::height_step_mm / 2, outer = inner + PolarBlock::height_count * PolarBlock::height_step_mm;
    const double shell = 2.0 * std::numbers::pi * (std::cos(front) - std::cos(back)) * (std::pow(outer, 3) - std::pow(inner, 3)) / 3.0;
    EXPECT_NEAR(sum, shell, 5e-4 * shell);
}

TEST(PolarBlock, cell_areas_sum_to_the_half_plane) {
    const PolarBlock block(ramp_image(0.5), test::ball_globe(Eye::left, left_eye, radius));
    double sum = 0.0;
    for (int p = 0; p < PolarBlock::polar_count; ++p)
        for (int h = 0; h < PolarBlock::height_count; ++h) sum += block.cell_area_mm2({17, p, h});
    const double inner = radius + PolarBlock::height_first_mm - PolarBlock::height_step_mm / 2, outer = inner + PolarBlock::height_count * PolarBlock::height_step_mm;
    const double part = PolarBlock::polar_count * PolarBlock::polar_step * (outer * outer - inner * inner) / 2.0;
    EXPECT_NEAR(sum, part, 1e-9 * part);
}

TEST(PolarBlock, index_and_cell_are_inverse) {
    for (std::size_t i = 0; i < PolarBlock::cell_count; i += 101) {
        const PolarCell c = PolarBlock::cell(i);
        EXPECT_EQ(PolarBlock::index(c.clock, c.polar, c.height), i);
    }
}

// Trilinear interpolation is exact on a linear function.
TEST(PolarBlock, holds_the_images_values_at_the_cells_places) {
    const PolarBlock block(ramp_image(0.5), test::ball_globe(Eye::left, left_eye, radius));
    for (std::size_t i = 0; i < PolarBlock::cell_count; i += 37) {
        const PolarCell c = PolarBlock::cell(i);
        const double hour = PolarBlock::clock_hours(c.clock), polar = PolarBlock::polar_radians(c.polar), distance = radius + PolarBlock::height_mm(c.height);
        // Written out from the definitions of clock and polar angle, for an eye that looks straight ahead.
        const double angle = hour * std::numbers::pi / 6.0;
        const PatientPoint p = left_eye + PatientVector{std::sin(polar) * std::sin(angle), -std::cos(polar), std::sin(polar) * std::cos(angle)} * distance;
        EXPECT_NEAR(static_cast<double>(block.value(i)), 3.0 * p.x - 2.0 * p.y + 5.0 * p.z + 40.0, 1e-3);
        EXPECT_LT(length(block.patient_point(hour, polar, PolarBlock::height_mm(c.height)) - p), 1e-9);
        EXPECT_TRUE(block.inside(i));
    }
    EXPECT_EQ(block.coverage(-6.0, 12.0), 1.0);
}

// A cube of 24 mm holds the globe and nothing 12 mm outside it.
TEST(PolarBlock, marks_what_lies_outside_the_images) {
    const PolarBlock block(ramp_image(0.2), test::ball_globe(Eye::left, left_eye, radius));
    const double half = 0.5 * 120 * 0.2;
    for (std::size_t i = 0; i < PolarBlock::cell_count; i += 13) {
        const PolarCell c = PolarBlock::cell(i);
        const PatientVector d = block.patient_point(PolarBlock::clock_hours(c.clock), PolarBlock::polar_radians(c.polar), PolarBlock::height_mm(c.height)) - left_eye;
        EXPECT_EQ(block.inside(i), std::abs(d.x) <= half && std::abs(d.y) <= half && std::abs(d.z) <= half);
    }
    EXPECT_EQ(block.coverage(10.0, 12.0), 0.0);
}

// The limbus is a circle of 5.9 mm radius about the axis; arcs on the sclera run from it.
TEST(PolarBlock, arcs_start_at_the_limbus) {
    const PolarBlock block(ramp_image(0.5), test::ball_globe(Eye::left, left_eye, radius));
    const EyePoint limbus = block.eye_point(4.0, block.limbus_polar(), 0.0);
    EXPECT_NEAR(std::hypot(limbus.x, limbus.y), 5.9, 1e-9);
    EXPECT_NEAR(block.limbus_arc_mm(block.limbus_polar()), 0.0, 1e-12);
    EXPECT_NEAR(block.limbus_arc_mm(std::numbers::pi / 2), radius * (std::numbers::pi / 2 - std::asin(5.9 / radius)), 1e-9);
}

TEST(PolarBlock, smoothing_keeps_a_constant) {
    const PolarBlock flat(test::drawn_grid(left_eye, {120, 120, 120}, {0.5, 0.5, 0.5}, [](PatientPoint) { return 7.0; }), test::ball_globe(Eye::left, left_eye, radius));
    for (const float v : flat.smoothed()) EXPECT_NEAR(static_cast<double>(v), 7.0, 1e-5);
}

// Two eyes drawn as mirror images are found on their sides, and cell (12 - h) of one is cell h of the other.
TEST(EyeViews, the_fellow_eye_is_the_mirrored_clock) {
    const auto signal = [](PatientPoint p) {
        double value = 600.0;
        for (const PatientPoint& eye : {right_eye, left_eye}) {
            const PatientVector d = p - eye;
            const double r = length(d);
            if (r < 11.2) value = 1000.0;
            else if (r < 12.3) value = 120.0;
            // A bright spot up and towards the temple.
            if (length(d - PatientVector{9.0 * (eye.x < 0 ? -1 : 1), 2.0, 13.0}) < 3.0) value = 1500.0;
        }
        return value;
    };
    SeriesDescription about{};
    about.series_uid = "1.2.3";
    about.modality = Modality::mr;
    about.role = SeriesRole::t2;
    const ImageSeries series{about, MrVolume(test::drawn_grid({0, -55, 8}, {141, 65, 61}, {0.8, 0.8, 0.8}, signal))};
    const SeriesViews views = view_series(series, 4);
    ASSERT_TRUE(views.eye[0] && views.eye[1]);
    const PolarBlock &right = views.eye[0]->block, &left = views.eye[1]->block;
    EXPECT_LT(right.globe().frame.origin().x, 0.0);
    EXPECT_GT(left.globe().frame.origin().x, 0.0);
    EXPECT_EQ(right.globe().eye, Eye::right);
    EXPECT_EQ(views.eye[1]->series, 4U);
    EXPECT_EQ(views.eye[1]->role, SeriesRole::t2);
    EXPECT_EQ(views.eye[1]->kvp, 120.0) << "where the header is silent";

    // The spot's clock position: 9 towards the temple, 13 up.
    const double hour = std::atan2(9.0, 13.0) * 6.0 / std::numbers::pi;
    double sum_right = 0.0, sum_left = 0.0, weight_right = 0.0, weight_left = 0.0;
    for (std::size_t i = 0; i < PolarBlock::cell_count; ++i) {
        const double h = PolarBlock::clock_hours(PolarBlock::cell(i).clock);
        if (right.value(i) > 1250.0f) sum_right += h, weight_right += 1.0;
        if (left.value(i) > 1250.0f) sum_left += h, weight_left += 1.0;
    }
    EXPECT_NEAR(sum_left / weight_left, hour, 0.1);
    EXPECT_NEAR(sum_right / weight_right, 12.0 - hour, 0.1);
    // Half-way across an edge the two cells may differ; nearly all agree.
    std::size_t differ = 0;
    for (std::size_t i = 0; i < PolarBlock::cell_count; ++i) {
        const PolarCell c = PolarBlock::cell(i);
        differ += std::abs(right.value(i) - left.value(PolarBlock::index((PolarBlock::clock_count - c.clock) % PolarBlock::clock_count, c.polar, c.height))) > 150.0f;
    }
    EXPECT_LT(static_cast<double>(differ), 0.02 * PolarBlock::cell_count);
}

}  // namespace perisclera
