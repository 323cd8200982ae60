// SPDX-License-Identifier: Apache-2.0
// The search on globes drawn from formulas, with elements that are parts of spherical shells: found with their manner, volume and
// place, and nothing where nothing was drawn. Signs: Lane JI et al., RadioGraphics 2003;23:983-994; volume: closed form.
#include <cmath>
#include <numbers>
#include <random>

#include <gtest/gtest.h>

#include "perisclera/segmentation/element_fusion.h"
#include "perisclera/segmentation/metal.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

constexpr double radius = 12.2, degrees = std::numbers::pi / 180.0;
constexpr double volume_tolerance = 0.25;   // the bound asked of the program as a whole

/// What fills the orbit stands for fat and muscle together.
struct Tissue {
    double vitreous, wall, orbit, lens, air;
};
constexpr Tissue on_ct{8, 45, -95, 70, -1000}, on_t2{1000, 120, 550, 150, 0}, on_t1{220, 250, 500, 300, 0};

PolarBlock eye(const Tissue& tissue, const std::vector<test::ShellSector>& elements = {}, double signal = 0.0, const std::vector<std::pair<test::ShellSector, double>>& others = {}) {
    const Globe globe = test::ball_globe(Eye::left, {0, 0, 0}, radius);
    const EyeFrame frame = globe.frame;
    const VoxelGrid grid = test::drawn_grid({0, 2, 0}, {92, 92, 46}, {0.55, 0.55, 1.1}, [&](PatientPoint p) {
        const EyePoint e = frame.to_eye(p);
        const double r = std::hypot(e.x, e.y, e.z);
        if (r > radius - 2.0) {
            for (const auto& element : elements)
                if (element.holds(e, radius)) return signal;
            for (const auto& [other, hu] : others)
                if (other.holds(e, radius)) return hu;
        }
        if (std::pow((e.z - 6.4) / 2.0, 2) + (e.x * e.x + e.y * e.y) / 20.25 < 1.0) return tissue.lens;
        if (r < radius - 1.1) return tissue.vitreous;
        if (r < radius) return tissue.wall;
        return e.z > 13.5 ? tissue.air : tissue.orbit;
    });
    Globe known = globe;
    known.interior_mean = tissue.vitreous;
    return PolarBlock(grid, known);
}

/// Just behind the equator, 5 mm wide and 4 mm thick.
constexpr test::ShellSector sponge{0.8, 3.4, 80 * degrees, 104 * degrees, 0.0, 4.0};

constexpr FinderSettings ct{Modality::ct, false, 120.0, true}, t2{Modality::mr, true, 120.0, true}, t1{Modality::mr, false, 120.0, true};

void expect_one(const std::vector<FoundElement>& found, Appearance appearance, const PolarBlock& block, const test::ShellSector& truth) {
    ASSERT_EQ(found.size(), 1U);
    EXPECT_EQ(found.front().appearance, appearance);
    const double volume = truth.volume_mm3(radius);
    EXPECT_NEAR(volume_mm3(block, found.front()), volume, volume_tolerance * volume);
    EXPECT_NEAR(test::middle_hour(found.front()), truth.from_hour + 0.5 * truth.span_hours, 0.3);
}

}  // namespace

TEST(ElementFinder, finds_nothing_where_nothing_was_drawn) {
    const PolarBlock on_ct_block = eye(on_ct), on_t2_block = eye(on_t2), on_t1_block = eye(on_t1);
    EXPECT_TRUE(find_elements(on_ct_block, &on_ct_block, ct).empty());
    EXPECT_TRUE(find_elements(on_t2_block, &on_t2_block, t2).empty());
    EXPECT_TRUE(find_elements(on_t1_block, &on_t1_block, t1).empty());
}

TEST(ElementFinder, a_sponge_is_dark_on_ct) {
    const PolarBlock block = eye(on_ct, {sponge}, -550.0), fellow = eye(on_ct);
    expect_one(find_elements(block, &fellow, ct), Appearance::ct_dark, block, sponge);
}

// At the temple skin may lie on a sponge: the air before it is none of the sponge's.
TEST(ElementFinder, a_sponge_beneath_thin_skin_is_parted_from_the_air) {
    constexpr test::ShellSector beneath{2.0, 2.0, 80 * degrees, 104 * degrees, 0.0, 4.0}, skin{0.0, 12.0, 60 * degrees, 120 * degrees, 4.0, 4.9}, air{0.0, 12.0, 60 * degrees, 120 * degrees, 4.9, 12.0};
    const PolarBlock block = eye(on_ct, {beneath}, -550.0, {{skin, 50.0}, {air, -1000.0}}), fellow = eye(on_ct, {}, 0.0, {{skin, 50.0}, {air, -1000.0}});
    expect_one(find_elements(block, &fellow, ct), Appearance::ct_dark, block, beneath);
}

TEST(ElementFinder, a_thick_tire_is_bright_on_ct) {
    const PolarBlock block = eye(on_ct, {sponge}, 190.0), fellow = eye(on_ct);
    expect_one(find_elements(block, &fellow, ct), Appearance::ct_bright, block, sponge);
}

TEST(ElementFinder, a_thin_band_all_round_is_bright_on_ct) {
    const test::ShellSector band{0.0, 12.0, 82 * degrees, 94 * degrees, 0.0, 1.0};
    const PolarBlock block = eye(on_ct, {band}, 190.0), fellow = eye(on_ct);
    const auto found = find_elements(block, &fellow, ct);
    ASSERT_EQ(found.size(), 1U);
    EXPECT_EQ(found.front().appearance, Appearance::ct_bright);
    EXPECT_TRUE(found.front().thinner_than_blur) << "1 mm never shows its own number";
    EXPECT_NEAR(volume_mm3(block, found.front()), band.volume_mm3(radius), 0.35 * band.volume_mm3(radius)) << "its number is assumed, so its volume is known less well";
}

// Hydrogel before it swells shows some 150 to 120 HU at 15 to 30 % water (row 1.12 of the reference values: calculation from its composition). All round and thick, it is most of the soft tissue about its own eye.
TEST(ElementFinder, a_firm_hydrogel_all_round_is_bright_on_ct_and_found_whole) {
    constexpr test::ShellSector ring{0.0, 12.0, 72 * degrees, 104 * degrees, 0.0, 5.5}, soft{0.0, 12.0, 50 * degrees, 125 * degrees, 0.0, 9.0};
    const PolarBlock block = eye(on_ct, {ring}, 115.0, {{soft, 48.0}}), fellow = eye(on_ct, {}, 0.0, {{soft, 48.0}});
    const auto found = find_elements(block, &fellow, ct);
    ASSERT_EQ(found.size(), 1U);
    EXPECT_EQ(found.front().appearance, Appearance::ct_bright);
    EXPECT_NEAR(volume_mm3(block, found.front()), ring.volume_mm3(radius), volume_tolerance * ring.volume_mm3(radius));
}

// Beside lid and tendon a band may be lost from sight.
TEST(ElementFinder, a_band_lost_from_sight_in_two_places_is_one_ring) {
    const auto piece = [](double from, double span) { return test::ShellSector{from, span, 82 * degrees, 98 * degrees, 0.0, 1.2}; };
    const PolarBlock block = eye(on_ct, {piece(1.0, 4.2), piece(7.2, 3.8)}, 190.0), fellow = eye(on_ct);
    const auto found = find_elements(block, &fellow, ct);
    ASSERT_EQ(found.size(), 1U);
    EXPECT_TRUE(found.front().closed_ring);
}

// Sclera, muscles and nerve sheath are bright behind; bands lie at the equator (common practice, no source).
TEST(ElementFinder, a_faint_ring_far_behind_the_equator_is_no_band) {
    constexpr test::ShellSector behind{0.0, 12.0, 117 * degrees, 126 * degrees, -0.4, 0.6}, equatorial{0.0, 12.0, 84 * degrees, 93 * degrees, -0.4, 0.6};
    const PolarBlock fellow = eye(on_ct);
    EXPECT_TRUE(find_elements(eye(on_ct, {behind}, 120.0), &fellow, ct).empty());
    EXPECT_EQ(find_elements(eye(on_ct, {equatorial}, 120.0), &fellow, ct).size(), 1U);
}

// Above, the roof of the orbit may lie against a band for three hours and more.
TEST(ElementFinder, a_faint_band_is_judged_where_bone_leaves_it_to_be_seen) {
    constexpr test::ShellSector band{0.0, 12.0, 84 * degrees, 95 * degrees, -0.1, 0.6}, roof{10.2, 3.6, 60 * degrees, 120 * degrees, 0.6, 6.0};
    const PolarBlock block = eye(on_ct, {band}, 140.0, {{roof, 900.0}}), fellow = eye(on_ct, {}, 0.0, {{roof, 900.0}});
    const auto found = find_elements(block, &fellow, ct);
    ASSERT_EQ(found.size(), 1U);
    EXPECT_TRUE(found.front().closed_ring);
    EXPECT_TRUE(find_elements(fellow, &fellow, ct).empty());
}

// Faint specks that a path can join, but no circle.
TEST(ElementFinder, a_faint_zigzag_is_no_band) {
    const auto steps = [](double swing_deg) {
        std::vector<test::ShellSector> out;
        for (int k = 0; k < 24; ++k) {
            const double middle = 90.0 + swing_deg * std::sin(3.0 * 2.0 * std::numbers::pi * (k + 0.5) / 24.0);
            out.push_back({0.5 * k, 0.5, (middle - 4.0) * degrees, (middle + 4.0) * degrees, -0.1, 0.6});
        }
        return out;
    };
    const PolarBlock fellow = eye(on_ct);
    EXPECT_EQ(find_elements(eye(on_ct, steps(0.0), 140.0), &fellow, ct).size(), 1U);
    EXPECT_TRUE(find_elements(eye(on_ct, steps(5.5), 140.0), &fellow, ct).empty());
}

// Tires of 6 to 9 mm all round (widths that are made: common practice, no source).
TEST(ElementFinder, a_tire_all_round_is_as_wide_as_it_is) {
    constexpr test::ShellSector tire{0.0, 12.0, 74 * degrees, 113 * degrees, -0.3, 1.5};
    const PolarBlock block = eye(on_ct, {tire}, 190.0), fellow = eye(on_ct);
    const auto found = find_elements(block, &fellow, ct);
    ASSERT_EQ(found.size(), 1U);
    EXPECT_TRUE(found.front().closed_ring);
    EXPECT_NEAR(volume_mm3(block, found.front()), tire.volume_mm3(radius), volume_tolerance * tire.volume_mm3(radius));
}

TEST(ElementFinder, a_segment_is_no_ring) {
    const test::ShellSector segment{1.0, 6.0, 82 * degrees, 98 * degrees, 0.0, 1.2};
    const PolarBlock block = eye(on_ct, {segment}, 190.0), fellow = eye(on_ct);
    const auto found = find_elements(block, &fellow, ct);
    ASSERT_EQ(found.size(), 1U);
    EXPECT_FALSE(found.front().closed_ring);
}

// The anterior chamber reaches some 3 mm beyond the sphere of the sclera and ends at the limbus, 29 degrees from the axis.
TEST(ElementFinder, fluid_all_round_at_the_limbus_is_no_element_and_part_of_it_may_be_one) {
    const test::ShellSector chamber{0.0, 12.0, 37 * degrees, 48 * degrees, 0.5, 3.0}, part{2.0, 4.0, 37 * degrees, 48 * degrees, 0.5, 3.0};
    const PolarBlock all_round = eye(on_t2, {chamber}, 950.0), some = eye(on_t2, {part}, 950.0), fellow = eye(on_t2);
    EXPECT_TRUE(find_elements(all_round, &fellow, t2).empty());
    EXPECT_EQ(find_elements(some, &fellow, t2).size(), 1U) << "hydrogels wander forward";
}

// 22 mm of arc from the limbus and more: where the sheath of the optic nerve begins.
TEST(ElementFinder, fluid_behind_the_globe_is_no_element) {
    const test::ShellSector sheath{3.0, 3.0, 124 * degrees, 140 * degrees, 0.5, 4.0};
    const PolarBlock block = eye(on_t2, {sheath}, 950.0), fellow = eye(on_t2);
    EXPECT_TRUE(find_elements(block, &fellow, t2).empty());
}

TEST(ElementFinder, swollen_hydrogel_is_water_outside_the_wall_on_t2) {
    const PolarBlock block = eye(on_t2, {sponge}, 950.0), fellow = eye(on_t2);
    expect_one(find_elements(block, &fellow, t2), Appearance::t2_bright, block, sponge);
}

TEST(ElementFinder, either_silicone_is_a_void_on_mr) {
    const PolarBlock block = eye(on_t1, {sponge}, 10.0), fellow = eye(on_t1);
    expect_one(find_elements(block, &fellow, t1), Appearance::mr_void, block, sponge);
}

TEST(ElementFinder, an_element_across_twelve_o_clock_is_one) {
    const test::ShellSector across{10.9, 2.6, 80 * degrees, 104 * degrees, 0.0, 4.0};
    const PolarBlock block = eye(on_ct, {across}, -550.0), fellow = eye(on_ct);
    const auto found = find_elements(block, &fellow, ct);
    ASSERT_EQ(found.size(), 1U);
    EXPECT_NEAR(ClockPosition(test::middle_hour(found.front())).distance_to(ClockPosition(0.2)).value(), 0.0, 0.3);
}

TEST(ElementFinder, two_elements_apart_are_two_largest_first) {
    const test::ShellSector small{7.0, 1.8, 84 * degrees, 104 * degrees, 0.0, 4.0};
    const PolarBlock block = eye(on_ct, {small, sponge}, -550.0), fellow = eye(on_ct);
    const auto found = find_elements(block, &fellow, ct);
    ASSERT_EQ(found.size(), 2U);
    EXPECT_NEAR(test::middle_hour(found[0]), 2.5, 0.3);
    EXPECT_NEAR(test::middle_hour(found[1]), 7.9, 0.3);
}

// Streaks are as dark as gas; 4000 HU is no bone (reference row 4.24: cortical bone to 1900).
TEST(Metal, what_lies_near_it_is_told_and_what_lies_across_the_globe_is_not) {
    constexpr test::ShellSector metal{2.0, 0.6, 60 * degrees, 70 * degrees, 1.0, 3.0};
    const FoundElement near = test::element_of(sponge, Appearance::ct_dark, -550.0, -90.0),
                       across = test::element_of({7.5, 1.5, 80 * degrees, 104 * degrees, 0.0, 4.0}, Appearance::ct_dark, -550.0, -90.0);
    const PolarBlock with = eye(on_ct, {metal}, 4000.0), without = eye(on_ct);
    EXPECT_TRUE(lies_beside_metal(with, near));
    EXPECT_FALSE(lies_beside_metal(with, across));
    EXPECT_FALSE(lies_beside_metal(without, near));
}

// Where it lies is closed form; a CT that is cut through a window (a plateau at its upper end), or of slices 6 mm apart, cannot tell.
TEST(Metal, its_place_is_told_and_its_absence_only_where_it_would_show) {
    constexpr test::ShellSector upper{2.0, 0.6, 60 * degrees, 70 * degrees, 1.0, 3.0}, lower{7.0, 0.6, 100 * degrees, 110 * degrees, 4.0, 6.0};
    const auto seen = metal_round_globe(eye(on_ct, {upper, lower}, 4000.0));
    ASSERT_TRUE(seen.has_value());
    ASSERT_EQ(seen->size(), 2U);
    EXPECT_NEAR((*seen)[0].hours(), 2.3, 0.2);
    EXPECT_NEAR((*seen)[1].hours(), 7.3, 0.2);

    const Globe globe = test::ball_globe(Eye::left, {0, 0, 0}, radius);
    std::mt19937 chance(7);
    const auto ct_of = [&](std::array<int, 3> size, double slice_mm, double highest) {
        std::normal_distribution<double> noise(0.0, 72.0);   // 12 HU in a voxel, the mean of 36 places
        return PolarBlock(test::drawn_grid({0, 2, 0}, size, {0.55, 0.55, slice_mm}, [&](PatientPoint p) {
            const double r = std::hypot(p.x, p.y, p.z), tissue = r < radius ? 8.0 : r < 18.0 ? -95.0 : 900.0 + 20.0 * p.x;   // bone, from 18 mm on
            return std::min(tissue + noise(chance), highest);
        }), globe);
    };
    const auto free = metal_round_globe(ct_of({92, 92, 46}, 1.1, 1e9));
    ASSERT_TRUE(free.has_value());
    EXPECT_TRUE(free->empty());
    EXPECT_FALSE(metal_round_globe(ct_of({92, 92, 46}, 1.1, 240.0)).has_value());
    EXPECT_FALSE(metal_round_globe(ct_of({92, 92, 9}, 6.0, 1e9)).has_value());
    EXPECT_FALSE(metal_round_globe(ct_of({92, 92, 20}, 1.1, 1e9)).has_value()) << "half of it is not imaged";
}

TEST(SmallestShown, thicker_slices_show_less_and_an_eye_cut_off_shows_nothing) {
    const Globe globe = test::ball_globe(Eye::left, {0, 0, 0}, radius);
    const auto shown = [&](double slice, int slices) {
        const auto grid = test::drawn_grid({0, 0, 0}, {100, 100, slices}, {0.5, 0.5, slice}, [](PatientPoint) { return 0.0; });
        return smallest_shown(PolarBlock(grid, globe), ct);
    };
    const SmallestShown thin = shown(1.0, 50), thick = shown(4.0, 14), cut = shown(1.0, 8);
    ASSERT_TRUE(thin.band_thickness_mm && thick.band_thickness_mm && thin.sponge_diameter_mm && thick.sponge_diameter_mm);
    EXPECT_LT(*thin.band_thickness_mm, *thick.band_thickness_mm);
    EXPECT_LT(*thin.sponge_diameter_mm, *thick.sponge_diameter_mm);
    EXPECT_FALSE(cut.band_thickness_mm || cut.sponge_diameter_mm);
}

// What lies in one place of the eye on two series is one element, measured where it shows best.
TEST(ElementFusion, one_place_is_one_element_and_ct_measures_a_sponge) {
    const EyeView ct_view{0, Modality::ct, SeriesRole::ct_soft, 120.0, eye(on_ct, {sponge}, -550.0)}, t1_view{1, Modality::mr, SeriesRole::t1, 120.0, eye(on_t1, {sponge}, 10.0)};
    const PolarBlock fellow_ct = eye(on_ct), fellow_t1 = eye(on_t1);
    const std::vector<const EyeView*> views{&ct_view, &t1_view};
    const auto fused = fuse_elements(views, {find_elements(ct_view.block, &fellow_ct, ct), find_elements(t1_view.block, &fellow_t1, t1)});
    ASSERT_EQ(fused.elements.size(), 1U);
    EXPECT_EQ(fused.elements[0].view, 0U);
    EXPECT_EQ(fused.elements[0].also_seen_in, std::vector<std::size_t>{1});
}

// A void on MR that CT does not confirm as gas or silicone is calcium, a vessel or air beside the eye: no element.
TEST(ElementFusion, a_void_that_ct_does_not_confirm_is_dropped) {
    const EyeView ct_view{0, Modality::ct, SeriesRole::ct_soft, 120.0, eye(on_ct)}, t1_view{1, Modality::mr, SeriesRole::t1, 120.0, eye(on_t1, {sponge}, 10.0)};
    const PolarBlock fellow_t1 = eye(on_t1);
    const auto voids = find_elements(t1_view.block, &fellow_t1, t1);
    ASSERT_EQ(voids.size(), 1U);
    EXPECT_TRUE(fuse_elements({&ct_view, &t1_view}, {{}, voids}).elements.empty());
    EXPECT_EQ(fuse_elements({&t1_view}, {voids}).elements.size(), 1U) << "without CT it stays";
}

}  // namespace perisclera
