// SPDX-License-Identifier: Apache-2.0
// Masses drawn as parts of spherical shells in orbits of fat with four muscles: found by the fat they hold off, with place and
// closed-form volume; and what several series make of it together. The contrasts are facts of the trade (common practice, no source).
#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include "perisclera/segmentation/element_fusion.h"
#include "tests/support/drawn_orbit.h"

namespace perisclera {

namespace {

constexpr double radius = 12.2, degrees = std::numbers::pi / 180.0;

constexpr test::OrbitSignals on_ct{8, 45, -95, 45}, on_t1{220, 120, 1300, 380}, on_t2{930, 60, 600, 160};
constexpr FinderSettings ct{Modality::ct, false, 120.0, true}, t1{Modality::mr, false, 120.0, true}, t2{Modality::mr, true, 120.0, true};

PolarBlock eye(const test::OrbitSignals& tissue, const test::ShellSector* mass = nullptr, double signal = 0.0, double muscles_turned_hours = 0.0) {
    return test::drawn_orbit(Eye::left, radius, tissue, {9.0, 3.0, muscles_turned_hours}, mass, signal);
}

/// Between two muscles and over one of them, on the equator: 6 mm thick, 8.5 mm wide.
constexpr test::ShellSector swollen{0.6, 3.0, 72 * degrees, 112 * degrees, 0.0, 6.0};

struct Seen {
    EyeView view;
    std::vector<FoundElement> found;
};

Seen seen(Modality modality, SeriesRole role, const FinderSettings& settings, PolarBlock block, const PolarBlock& fellow) {
    std::vector<FoundElement> found = find_elements(block, &fellow, settings);
    return {EyeView{0, modality, role, 120.0, std::move(block)}, std::move(found)};
}

FusedElements fused(const std::vector<const Seen*>& series) {
    std::vector<const EyeView*> views;
    std::vector<std::vector<FoundElement>> found;
    for (const Seen* s : series) views.push_back(&s->view), found.push_back(s->found);
    return fuse_elements(views, found);
}

}  // namespace

TEST(DisplacedFat, a_mass_of_soft_tissue_is_found_on_ct) {
    const PolarBlock block = eye(on_ct, &swollen, 38.0), fellow = eye(on_ct);
    const auto found = find_elements(block, &fellow, ct);
    ASSERT_EQ(found.size(), 1U);
    EXPECT_EQ(found[0].appearance, Appearance::ct_mass);
    EXPECT_NEAR(test::middle_hour(found[0]), 2.1, 0.3);
    const double truth = swollen.volume_mm3(radius);
    EXPECT_NEAR(volume_mm3(block, found[0]), truth, 0.3 * truth) << "the stated standard uncertainty of such a volume";
    EXPECT_NEAR(found[0].core_signal, 38.0, 8.0);
}

TEST(DisplacedFat, a_mass_without_the_brightness_of_fat_is_found_on_t1) {
    const PolarBlock block = eye(on_t1, &swollen, 400.0), fellow = eye(on_t1);
    const auto found = find_elements(block, &fellow, t1);
    ASSERT_EQ(found.size(), 1U);
    EXPECT_EQ(found[0].appearance, Appearance::mr_mass);
    EXPECT_NEAR(test::middle_hour(found[0]), 2.1, 0.3);
    const double truth = swollen.volume_mm3(radius);
    EXPECT_NEAR(volume_mm3(block, found[0]), truth, 0.3 * truth);
}

// Two eyes are never quite alike: 0.2 hours are 6 degrees of torsion between them.
TEST(DisplacedFat, muscles_that_lie_otherwise_in_the_fellow_eye_are_no_mass) {
    for (const double turned : {-0.2, 0.2}) {
        const PolarBlock on_the_ct = eye(on_ct, nullptr, 0.0, turned), ct_fellow = eye(on_ct), on_the_t1 = eye(on_t1, nullptr, 0.0, turned), t1_fellow = eye(on_t1);
        EXPECT_TRUE(find_elements(on_the_ct, &ct_fellow, ct).empty()) << turned;
        EXPECT_TRUE(find_elements(on_the_t1, &t1_fellow, t1).empty()) << turned;
    }
}

TEST(DisplacedFat, without_a_fellow_eye_nothing_is_said) {
    EXPECT_TRUE(find_elements(eye(on_ct, &swollen, 38.0), nullptr, ct).empty());
}

// A hydrogel of three quarters water is as bright as fat on T2; what T1 knows not to be fat and T2 not to be muscle is watery.
TEST(DisplacedFat, t2_as_bright_as_fat_confirms_what_t1_shows) {
    const Seen dark = seen(Modality::mr, SeriesRole::t1, t1, eye(on_t1, &swollen, 400.0), eye(on_t1)),
               like_fat = seen(Modality::mr, SeriesRole::t2, t2, eye(on_t2, &swollen, on_t2.fat), eye(on_t2));
    EXPECT_TRUE(like_fat.found.empty());
    const FusedElements both = fused({&dark, &like_fat});
    ASSERT_EQ(both.elements.size(), 1U);
    EXPECT_EQ(both.elements[0].view, 0U);
    EXPECT_EQ(both.elements[0].also_seen_in, std::vector<std::size_t>{1});
}

TEST(DisplacedFat, two_series_that_agree_are_one_element_measured_on_ct) {
    const Seen on_the_ct = seen(Modality::ct, SeriesRole::ct_soft, ct, eye(on_ct, &swollen, 38.0), eye(on_ct)),
               on_the_t1 = seen(Modality::mr, SeriesRole::t1, t1, eye(on_t1, &swollen, 400.0), eye(on_t1));
    const FusedElements both = fused({&on_the_t1, &on_the_ct});
    ASSERT_EQ(both.elements.size(), 1U);
    EXPECT_EQ(both.elements[0].view, 1U);
    EXPECT_EQ(both.elements[0].also_seen_in, std::vector<std::size_t>{0});
    EXPECT_FALSE(both.unexplained_soft_mass);
}

// T2 shows the part that is nearly all water, T1 the whole.
TEST(DisplacedFat, the_watery_part_of_a_mass_is_no_second_element) {
    constexpr test::ShellSector watery{1.4, 1.2, 80 * degrees, 104 * degrees, 0.5, 4.5};
    const Seen whole = seen(Modality::mr, SeriesRole::t1, t1, eye(on_t1, &swollen, 400.0), eye(on_t1)),
               part = seen(Modality::mr, SeriesRole::t2, t2, eye(on_t2, &watery, 950.0), eye(on_t2));
    ASSERT_EQ(part.found.size(), 1U);
    EXPECT_EQ(part.found[0].appearance, Appearance::t2_bright);
    const FusedElements both = fused({&whole, &part});
    ASSERT_EQ(both.elements.size(), 1U);
    EXPECT_EQ(both.elements[0].view, 0U) << "measured where all of it shows";
    EXPECT_EQ(both.elements[0].also_seen_in, std::vector<std::size_t>{1});
}

// The fellow globe is drawn inwards by something of the vitreous' own signal, here by a fit that is 1.5 mm too small.
TEST(DisplacedFat, a_fellow_whose_globe_is_too_small_tells_nothing) {
    const PolarBlock block = eye(on_ct, &swollen, 38.0);
    Globe small = test::ball_globe(Eye::right, {0, 0, 0}, radius - 1.5);
    const PolarBlock fellow(test::drawn_grid({0, 2, 0}, {100, 100, 36}, {0.55, 0.55, 1.5}, [](PatientPoint) { return on_ct.fat; }), small);
    EXPECT_TRUE(find_elements(block, &fellow, ct).empty());
}

TEST(DisplacedFat, what_ct_shows_to_be_fat_is_no_element_though_mr_agrees_on_it) {
    const Seen on_the_ct = seen(Modality::ct, SeriesRole::ct_soft, ct, eye(on_ct), eye(on_ct)),
               on_the_t1 = seen(Modality::mr, SeriesRole::t1, t1, eye(on_t1, &swollen, 400.0), eye(on_t1)),
               on_the_t2 = seen(Modality::mr, SeriesRole::t2, t2, eye(on_t2, &swollen, 150.0), eye(on_t2));
    ASSERT_FALSE(on_the_t1.found.empty());
    ASSERT_FALSE(on_the_t2.found.empty());
    EXPECT_EQ(fused({&on_the_t1, &on_the_t2}).elements.size(), 1U) << "without CT the two are believed";
    const FusedElements all = fused({&on_the_ct, &on_the_t1, &on_the_t2});
    EXPECT_TRUE(all.elements.empty());
    EXPECT_TRUE(all.unexplained_soft_mass) << "but absence is not said either";
}

// Fat that ends near the wall is what the whole comparison lives on.
TEST(DisplacedFat, an_orbit_without_fat_round_the_globe_could_show_no_mass) {
    const test::OrbitSignals all_muscle{on_ct.vitreous, on_ct.wall, on_ct.muscle, on_ct.muscle};
    const EyeView fat{0, Modality::ct, SeriesRole::ct_soft, 120.0, eye(on_ct)}, none{0, Modality::ct, SeriesRole::ct_soft, 120.0, eye(all_muscle)};
    EXPECT_TRUE(shows_displaced_fat_all_round(fat));
    EXPECT_FALSE(shows_displaced_fat_all_round(none));
}

}  // namespace perisclera
