// SPDX-License-Identifier: Apache-2.0
// Gas drawn beside elements on CT, and what is as dark without being gas outside them. Figures: tests/support/drawn_beside.h.
#include <gtest/gtest.h>

#include "tests/support/drawn_beside.h"

namespace perisclera {

using namespace test::beside;

TEST(GasOutside, a_bubble_beside_a_sponge_is_seen_with_its_volume) {
    const InflammationReading signs = read(with({bubble}));
    ASSERT_EQ(signs.gas_outside_element, SignReading::seen);
    ASSERT_EQ(signs.gas.size(), 1U);
    const double ball = 4.0 / 3.0 * std::numbers::pi * std::pow(bubble.radius_mm, 3);
    EXPECT_NEAR(signs.gas[0].volume_mm3, ball, 0.2 * ball) << "half the way from fat to gas lies on the ball's surface, blurred by a voxel";
    ASSERT_TRUE(signs.gas[0].from_sponge_mm);
    // From the sponge's end, at hour 3, to the ball's near side.
    const double middle = 2.0 * (radius + bubble.height_mm) * std::sin(0.5 * (bubble.hour - 3.0) * 30.0 * degrees);
    EXPECT_NEAR(*signs.gas[0].from_sponge_mm, middle - bubble.radius_mm, 1.0) << "a voxel's diagonal";
}

TEST(GasOutside, gas_against_the_sponge_is_seen_where_the_sponge_shows_how_dark_it_is) {
    const InflammationReading signs = read(with({{2.0, 88 * degrees, 6.0, 2.5, gas_hu}}));
    ASSERT_EQ(signs.gas_outside_element, SignReading::seen);
    EXPECT_EQ(signs.gas.at(0).from_sponge_mm, 0.0);
}

TEST(GasOutside, a_bubble_beside_a_solid_band_is_seen) {
    Scene scene = with({bubble});
    scene.body = test::ShellSector{0.0, 4.0, 80 * degrees, 96 * degrees, 0.0, 2.0};
    scene.body_hu = 200.0;
    const InflammationReading signs = read(scene);
    ASSERT_EQ(signs.gas_outside_element, SignReading::seen);
    EXPECT_FALSE(signs.gas.at(0).from_sponge_mm);
}

TEST(GasOutside, a_sponge_alone_shows_none_on_thin_and_thick_slices_and_in_noise) {
    EXPECT_EQ(read(Scene{}).gas_outside_element, SignReading::not_seen);
    Scene thick;
    thick.slice_mm = 3.0;
    EXPECT_EQ(read(thick).gas_outside_element, SignReading::not_seen);
    Scene noisy;
    noisy.noise_hu = 30.0;
    EXPECT_EQ(read(noisy).gas_outside_element, SignReading::not_seen);
}

// The darkest foams come to -740 HU.
TEST(GasOutside, a_second_sponge_that_was_not_found_is_no_gas) {
    EXPECT_EQ(read(with({{6.0, 88 * degrees, 2.5, 2.5, -740.0}})).gas_outside_element, SignReading::not_seen);
}

// Myllyla V et al., Rofo 1987;146:639-643: -434 to -446 HU in the orbit, samples down to -618.
TEST(GasOutside, wood_is_no_gas) { EXPECT_EQ(read(with({{5.0, 95 * degrees, 5.0, 2.5, -618.0}})).gas_outside_element, SignReading::not_seen); }

TEST(GasOutside, air_before_the_lids_and_in_a_sinus_is_none) {
    Scene head;
    head.lids = head.sinus = true;
    EXPECT_EQ(read(head).gas_outside_element, SignReading::not_seen);
    Scene without = head;
    without.sinus = false;
    EXPECT_EQ(read(head, free_eye(without)).gas_outside_element, SignReading::not_seen) << "sinuses of two sides differ";
}

// A closed cell in bone is no gas in the orbit; where the fellow eye has one near the same place it is usual.
TEST(GasOutside, a_cell_of_a_sinus_by_itself_is_not_taken_for_gas) {
    Scene own = with({{9.0, 90 * degrees, 6.5, 2.5, gas_hu}, {9.0, 90 * degrees, 6.5, 3.5, bone_hu}}), fellow = free_eye(own);
    EXPECT_EQ(read(own).gas_outside_element, SignReading::not_assessable);
    fellow.balls = {{3.0, 95 * degrees, 7.0, 2.5, gas_hu}};
    EXPECT_EQ(read(own, fellow).gas_outside_element, SignReading::not_seen);
}

TEST(GasOutside, gas_in_the_globe_is_none) {
    EXPECT_EQ(read(with({{0.0, 88 * degrees, -4.0, 3.5, gas_hu}})).gas_outside_element, SignReading::not_seen);
}

// A retained sponge of the density of air is on record (Clinical-radiological correlation of retained silicone sponge, Case Rep Ophthalmol Med): nothing tells it from gas.
TEST(GasOutside, an_element_as_dark_as_gas_leaves_it_open) {
    Scene dark;
    dark.body_hu = -950.0;
    EXPECT_EQ(read(dark).gas_outside_element, SignReading::not_assessable);
}

TEST(GasOutside, beside_metal_nothing_is_told) {
    EXPECT_EQ(read(with({bubble, {10.0, 88 * degrees, 1.5, 1.2, 9000.0}})).gas_outside_element, SignReading::not_assessable);
}

}  // namespace perisclera
