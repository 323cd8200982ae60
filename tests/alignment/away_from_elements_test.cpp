// SPDX-License-Identifier: Apache-2.0
// Balls drawn from closed forms, dented all round by an element: what was covered does not count, and the series keep one frame.
#include <gtest/gtest.h>

#include "perisclera/alignment/away_from_elements.h"
#include "tests/alignment/turned_eye.h"

namespace perisclera {

namespace {

using namespace test;

constexpr double ring_half_width_mm = 4.0, slope_mm = 2.0, dent_mm = 1.2;

double mm_from_equator(EyePoint p) { return outer * std::abs(std::asin(p.z / std::sqrt(p.x * p.x + p.y * p.y + p.z * p.z))); }

/// An eye with a wall and a cornea of usual thickness, drawn in by `dent_mm` about the equator; something like its fluid fills the dent.
double dented_signal(EyePoint p, const Contrast& c) {
    const double r = std::sqrt(p.x * p.x + p.y * p.y + p.z * p.z), dent = dent_mm * std::clamp(1.0 - (mm_from_equator(p) - ring_half_width_mm) / slope_mm, 0.0, 1.0), grown = (r + dent) / r;
    const double beyond_wall = r + dent - outer;
    if (beyond_wall > 0.0 && beyond_wall < 4.0 && mm_from_equator(p) < ring_half_width_mm) return 0.8 * c.fluid + 0.2 * c.wall;
    const EyeLayer layer = eye_layer(PatientVector{p.x, -p.z, p.y} * grown, outer);   // which looks straight ahead
    return layer == EyeLayer::fluid ? c.fluid : layer == EyeLayer::wall ? c.wall : c.around;
}

VoxelGrid dented(const EyeFrame& eye, const Contrast& contrast) {
    constexpr double spacing = 0.8;
    constexpr int n = 48;
    return drawn_grid(eye.origin(), {n, n, n}, {spacing, spacing, spacing}, [&](PatientPoint p) { return dented_signal(eye.to_eye(p), contrast); });
}

SeriesViews view_of(const VoxelGrid& grid, const EyeFrame& frame) {
    SeriesViews views;
    views.eye[1].emplace(EyeView{0, Modality::mr, SeriesRole::t2, 120.0, PolarBlock(grid, told(frame, outer - 0.5 * dent_mm))});
    return views;
}

CoveredSclera covered_ring() {
    CoveredSclera covered;
    for (int clock = 0; clock < PolarBlock::clock_count; clock += 2)
        for (int polar = 0; polar < PolarBlock::polar_count; ++polar)
            if (std::abs(PolarBlock::polar_radians(polar) - 0.5 * std::numbers::pi) * outer < ring_half_width_mm) covered.cover({clock, polar, 12});
    return covered;
}

}  // namespace

TEST(CoveredSclera, reaches_a_little_beyond_the_columns) {
    CoveredSclera covered;
    EXPECT_TRUE(covered.empty());
    covered.cover({30, 42, 12});   // 3 o'clock, 89 degrees from the axis
    const auto at_degrees = [](double clock_angle, double polar) {
        return EyeVector{std::sin(polar * degree) * std::sin(clock_angle * degree), std::sin(polar * degree) * std::cos(clock_angle * degree), std::cos(polar * degree)};
    };
    EXPECT_TRUE(covered.holds(at_degrees(90.0, 89.0)));
    EXPECT_TRUE(covered.holds(at_degrees(99.0, 89.0))) << "2 mm beside it";
    EXPECT_TRUE(covered.holds(at_degrees(90.0, 79.0))) << "2 mm before it";
    EXPECT_FALSE(covered.holds(at_degrees(105.0, 89.0))) << "3 mm beside it";
    EXPECT_FALSE(covered.holds(at_degrees(270.0, 89.0))) << "across the eye";
}

TEST(AwayFromElements, the_dent_does_not_count_and_the_series_keep_one_frame) {
    const EyeFrame on_t2 = looking({30.0, -40.0, 5.0}, 4.0, -3.0), on_t1 = looking({33.0, -38.0, 2.0}, -6.0, 5.0);
    const VoxelGrid t2_images = dented(on_t2, t2), t1_images = dented(on_t1, t1);
    // Both told a little off, by the same in the eye's frame.
    const EyeVector off{0.3, -0.2, 0.4};
    const auto shifted = [&](const EyeFrame& f) { return EyeFrame(f.origin() + f.to_patient(off), f.anterior(), f.superior()); };
    std::vector<SeriesViews> visit{view_of(t2_images, shifted(on_t2)), view_of(t1_images, shifted(on_t1))};
    fit_away_from_elements(visit, {&t2_images, &t1_images}, {CoveredSclera{}, covered_ring()});
    const Globe &in_t2 = visit[0].eye[1]->block.globe(), &in_t1 = visit[1].eye[1]->block.globe();
    // The target set for this program: 0.2 mm in thin slices.
    constexpr double target_mm = 0.2;
    for (const auto& [globe, truth] : {std::pair{&in_t2, &on_t2}, std::pair{&in_t1, &on_t1}}) {
        EXPECT_LT(length(globe->frame.origin() - truth->origin()), target_mm);
        EXPECT_NEAR(globe->equatorial_radius_mm(), outer, target_mm) << "as it would lie undented";
    }
    const EyeVector moved = in_t2.frame.to_eye(on_t2.origin() - in_t2.frame.origin()), moved_too = in_t1.frame.to_eye(on_t1.origin() - in_t1.frame.origin());
    EXPECT_LT(length(moved - moved_too), 1e-6) << "what has one place in the frame is one place of the eye in every series";
}

TEST(AwayFromElements, an_eye_that_nothing_covers_and_a_series_apart_stay) {
    const EyeFrame frame = looking({30.0, -40.0, 5.0}, 0.0, 0.0);
    const VoxelGrid images = dented(frame, t2);
    std::vector<SeriesViews> visit{view_of(images, frame), view_of(images, frame)};
    const double before = visit[0].eye[1]->block.equatorial_radius_mm();
    fit_away_from_elements(visit, {&images, &images}, {CoveredSclera{}, CoveredSclera{}});
    EXPECT_EQ(visit[0].eye[1]->block.equatorial_radius_mm(), before);
    visit[1].eye[1]->kept_apart = true;
    fit_away_from_elements(visit, {&images, &images}, {CoveredSclera{}, covered_ring()});
    EXPECT_GT(visit[0].eye[1]->block.equatorial_radius_mm(), before + 0.2);
    EXPECT_EQ(visit[1].eye[1]->block.equatorial_radius_mm(), before);
}

}  // namespace perisclera
