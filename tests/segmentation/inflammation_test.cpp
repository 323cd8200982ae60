// SPDX-License-Identifier: Apache-2.0
// Dense fat drawn beside elements on CT, and when neither sign can be told. Figures: tests/support/drawn_beside.h.
#include <gtest/gtest.h>

#include "tests/support/drawn_beside.h"

namespace perisclera {

using namespace test::beside;

TEST(Inflammation, without_ct_an_element_or_thin_slices_nothing_is_told) {
    const EyeView ct = view(Eye::left, with({bubble})), there = view(Eye::right, free_eye({}));
    EyeView mr = ct;
    mr.modality = Modality::mr;
    mr.role = SeriesRole::t2;
    const EyeElement element{0, test::element_of(sponge, Appearance::mr_void, 0.0, 600.0), {}};
    const InflammationReading on_mr = signs_of_inflammation({&mr}, {&there}, {&element}, {}), no_element = signs_of_inflammation({&ct}, {&there}, {}, {});
    EXPECT_EQ(on_mr.gas_outside_element, SignReading::not_assessable);
    EXPECT_EQ(on_mr.fat_stranding, SignReading::not_assessable);
    EXPECT_EQ(no_element.gas_outside_element, SignReading::not_assessable);
    EXPECT_EQ(no_element.fat_stranding, SignReading::not_assessable);
    Scene thick = with({bubble});
    thick.slice_mm = 4.0;
    EXPECT_EQ(read(thick).gas_outside_element, SignReading::not_assessable);
    EXPECT_EQ(read(thick).fat_stranding, SignReading::not_assessable);
}

TEST(Inflammation, without_the_fellow_eye_neither_sign_is_seen) {
    const EyeView ct = view(Eye::left, with({bubble}));
    const EyeElement element{0, test::element_of(sponge, Appearance::ct_dark, sponge_hu, fat_hu), {}};
    const InflammationReading signs = signs_of_inflammation({&ct}, {nullptr}, {&element}, {});
    EXPECT_EQ(signs.gas_outside_element, SignReading::not_assessable);
    EXPECT_EQ(signs.fat_stranding, SignReading::not_assessable);
}

// What one CT shows and another of the same eye does not is no sign.
TEST(Inflammation, what_one_of_two_ct_denies_is_not_seen) {
    const EyeView with_gas = view(Eye::left, with({bubble})), without = view(Eye::left, Scene{}), there = view(Eye::right, free_eye({}));
    const EyeElement element{0, test::element_of(sponge, Appearance::ct_dark, sponge_hu, fat_hu), {}};
    const InflammationReading signs = signs_of_inflammation({&with_gas, &without}, {&there, &there}, {&element}, {});
    EXPECT_EQ(signs.gas_outside_element, SignReading::not_seen);
    EXPECT_TRUE(signs.gas.empty());
}

TEST(FatStranding, fat_denser_by_40_hu_beside_a_sponge_is_seen) {
    Scene dense;
    dense.dense_hu = 40.0;
    EXPECT_EQ(read(dense).fat_stranding, SignReading::seen);
    dense.noise_hu = 20.0;
    EXPECT_EQ(read(dense).fat_stranding, SignReading::seen);
    dense.slice_mm = 2.0;
    dense.dense_mm = 6.0;
    EXPECT_EQ(read(dense).fat_stranding, SignReading::seen);
}

TEST(FatStranding, fat_beside_a_solid_band_too) {
    Scene dense;
    dense.body_hu = 200.0;
    EXPECT_EQ(read(dense).fat_stranding, SignReading::not_seen);
    dense.dense_hu = 40.0;
    EXPECT_EQ(read(dense).fat_stranding, SignReading::seen);
}

TEST(FatStranding, fat_like_the_fellows_shows_none) {
    Scene scene;
    EXPECT_EQ(read(scene).fat_stranding, SignReading::not_seen);
    scene.noise_hu = 20.0;
    EXPECT_EQ(read(scene).fat_stranding, SignReading::not_seen);
    Scene dense, fellow = free_eye(dense);
    dense.dense_everywhere_hu = 40.0;
    EXPECT_EQ(read(dense, fellow).fat_stranding, SignReading::not_seen) << "denser all round: the patient, or the scanner";
}

// Something thick that lies over the sponge takes the place of fat and leaves the rest as it was.
TEST(FatStranding, a_body_in_place_of_fat_is_none) {
    EXPECT_NE(read(with({{3.6, 88 * degrees, 4.0, 3.5, muscle_hu}})).fat_stranding, SignReading::seen);
}

TEST(FatStranding, a_sharp_kernel_or_noise_leaves_it_open) {
    Scene dense;
    dense.dense_hu = 40.0;
    EXPECT_EQ(read(dense, free_eye(dense), SeriesRole::ct_bone).fat_stranding, SignReading::not_assessable);
    dense.noise_hu = 50.0;
    EXPECT_EQ(read(dense).fat_stranding, SignReading::not_assessable);
}

}  // namespace perisclera
