// SPDX-License-Identifier: Apache-2.0
// The grid operations under the search, against closed forms.
#include <cmath>
#include <numeric>

#include <gtest/gtest.h>

#include "src/segmentation/candidate_regions.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

constexpr int window = 9;

/// A grid that depends on clock and polar index only.
template <class Function>
std::vector<float> field(Function&& value) {
    std::vector<float> out(PolarBlock::cell_count);
    for (std::size_t i = 0; i < out.size(); ++i) {
        const PolarCell c = PolarBlock::cell(i);
        out[i] = static_cast<float>(value(c));
    }
    return out;
}

PolarBlock block_of(const std::function<double(PatientPoint)>& value) {
    return PolarBlock(test::drawn_grid({0, 0, 0}, {100, 100, 100}, {0.5, 0.5, 0.5}, value), test::ball_globe(Eye::left, {0, 0, 0}, 12.0));
}

std::size_t count(const PolarMask& mask) { return static_cast<std::size_t>(std::accumulate(mask.begin(), mask.end(), 0)); }

}  // namespace

// A flat window longer than the ridge is wide removes the ridge and leaves what is wider (Serra 1982).
TEST(TopHat, keeps_the_height_of_a_narrow_ridge_on_any_level) {
    for (const int width : {1, 4, window - 1}) {
        const auto hat = meridional_top_hat(field([&](PolarCell c) { return 50.0 + (c.polar >= 40 && c.polar < 40 + width ? 120.0 : 0.0); }), window);
        for (std::size_t i = 0; i < hat.size(); ++i) {
            const PolarCell c = PolarBlock::cell(i);
            ASSERT_FLOAT_EQ(hat[i], c.polar >= 40 && c.polar < 40 + width ? 120.0f : 0.0f) << "width " << width << ", polar " << c.polar;
        }
    }
}

TEST(TopHat, removes_what_is_as_wide_as_the_window_and_what_runs_along_the_meridian) {
    const auto wide = meridional_top_hat(field([](PolarCell c) { return c.polar >= 40 && c.polar < 40 + window ? 120.0 : 0.0; }), window);
    const auto muscle = meridional_top_hat(field([](PolarCell c) { return c.clock >= 28 && c.clock < 33 ? 80.0 : -90.0; }), window);
    const auto slope = meridional_top_hat(field([](PolarCell c) { return 4.0 * c.polar; }), window);
    for (std::size_t i = 0; i < wide.size(); ++i) {
        ASSERT_EQ(wide[i], 0.0f);
        ASSERT_EQ(muscle[i], 0.0f);
        const int polar = PolarBlock::cell(i).polar;
        // Half a window from the front end of the grid a slope is cut off.
        if (polar < PolarBlock::polar_count - window) {
            ASSERT_NEAR(slope[i], 0.0f, 1e-4f);
        }
    }
}

// n rounds of six neighbours make an octahedron: (2n + 1)(2n^2 + 2n + 3) / 3 cells (centred octahedral numbers).
TEST(PolarRegions, growing_makes_octahedra_across_the_start_of_the_clock) {
    for (const int clock : {60, 0}) {
        PolarMask mask(PolarBlock::cell_count, 0);
        mask[PolarBlock::index(clock, 40, 18)] = 1;
        EXPECT_EQ(count(grown(mask, 1)), 7U);
        EXPECT_EQ(count(grown(mask, 2)), 25U);
        EXPECT_EQ(count(grown(mask, 3)), 63U);
    }
}

TEST(PolarRegions, regions_touch_by_faces_and_round_the_clock) {
    PolarMask mask(PolarBlock::cell_count, 0);
    const std::vector<PolarCell> first{{119, 40, 10}, {0, 40, 10}, {1, 40, 10}}, second{{2, 41, 10}}, third{{60, 3, 3}, {60, 3, 4}};   // 2,41 touches 1,40 by an edge only
    for (const auto& part : {first, second, third})
        for (const PolarCell& c : part) mask[PolarBlock::index(c.clock, c.polar, c.height)] = 1;
    const auto regions = connected_regions(mask);
    ASSERT_EQ(regions.size(), 3U);
    EXPECT_EQ(regions[0].size(), 3U);
    EXPECT_EQ(regions[1].size(), 1U);
    EXPECT_EQ(regions[2].size(), 2U);
    for (const auto& region : regions) EXPECT_TRUE(std::is_sorted(region.begin(), region.end()));
    EXPECT_TRUE(connected_regions(PolarMask(PolarBlock::cell_count, 0)).empty());
}

// One and two values beside the element: the line between them, straight from front to back.
TEST(PolarRegions, the_flank_background_is_the_line_between_both_sides) {
    const PolarBlock block = block_of([](PatientPoint) { return 20.0; });
    PolarMask excluded(PolarBlock::cell_count, 0);
    for (int p = 30; p < 37; ++p) excluded[PolarBlock::index(50, p, 12)] = 1;
    const auto flat = flank_background(block, excluded, -100.0, 100.0);
    for (const float v : flat) ASSERT_FLOAT_EQ(v, 20.0f);

    // 0 in front of the element and 80 behind it, in an eye that looks towards -y: seven steps of 10.
    const double edge = PolarBlock::polar_radians(33);
    const PolarBlock step = block_of([&](PatientPoint p) { return std::atan2(std::hypot(p.x, p.z), -p.y) < edge ? 0.0 : 80.0; });
    const auto between = flank_background(step, excluded, -100.0, 100.0);
    for (int p = 30; p < 37; ++p) EXPECT_NEAR(between[PolarBlock::index(50, p, 12)], 10.0 * (p - 29), 1e-3);
    // With 0 out of the allowed range only the far side speaks.
    const auto bright = flank_background(step, excluded, 50.0, 100.0);
    for (int p = 30; p < 37; ++p) EXPECT_NEAR(bright[PolarBlock::index(50, p, 12)], 80.0, 1e-3);
}

TEST(PolarRegions, the_nearest_background_fills_from_what_is_known) {
    const PolarBlock block = block_of([](PatientPoint p) { return p.y < 0.0 ? -90.0 : 40.0; });
    PolarMask excluded(PolarBlock::cell_count, 0);
    excluded[PolarBlock::index(10, 10, 30)] = excluded[PolarBlock::index(10, 75, 30)] = 1;
    const PolarMask ignored(PolarBlock::cell_count, 0);
    const auto background = nearest_background(block, excluded, ignored, -140.0, 80.0);
    EXPECT_NEAR(background[PolarBlock::index(10, 10, 30)], -90.0, 1e-3) << "in front of the globe's equator";
    EXPECT_NEAR(background[PolarBlock::index(10, 75, 30)], 40.0, 1e-3) << "behind it";
}

TEST(PolarRegions, quantiles_are_order_statistics) {
    EXPECT_EQ(quantile({}, 0.5), 0.0);
    EXPECT_EQ(quantile({5, 1, 4, 2, 3}, 0.0), 1.0);
    EXPECT_EQ(quantile({5, 1, 4, 2, 3}, 0.5), 3.0);
    EXPECT_EQ(quantile({5, 1, 4, 2, 3}, 1.0), 5.0);
}

TEST(PolarRegions, a_regions_volume_is_that_of_its_cells) {
    const PolarBlock block = block_of([](PatientPoint) { return 0.0; });
    const test::ShellSector sector{2.0, 3.0, 1.3, 1.6, 0.25, 3.25};
    std::vector<std::size_t> region;
    for (const ElementCell& cell : test::element_of(sector, Appearance::ct_dark, -500, -90).cells)
        if (cell.share > 0.5f) region.push_back(cell.index);
    const RegionShape shape = shape_of(block, region);
    EXPECT_NEAR(shape.volume_mm3, sector.volume_mm3(12.0), 0.1 * sector.volume_mm3(12.0)) << "to whole cells";
    EXPECT_NEAR(shape.mean_height_mm, 0.5 * (sector.inner_mm + sector.outer_mm), 0.15);
    EXPECT_NEAR(shape.clock_columns, 30, 1);
    EXPECT_FALSE(shape.touches_images_end);
}

}  // namespace perisclera
