// SPDX-License-Identifier: Apache-2.0
// Which images are like, by the definition of docs/measurements.md, and that the part they share never makes two dates surer than their noise.
#include <numbers>

#include <gtest/gtest.h>

#include "perisclera/timeline/shared_error.h"

namespace perisclera {

namespace {

MeasuredOn ct(double pixel_mm, double slice_mm, double tilt_degrees = 0.0) {
    const double t = tilt_degrees * std::numbers::pi / 180.0;
    return {Modality::ct, SeriesRole::ct_soft, pixel_mm, slice_mm, {0.0, std::sin(t), std::cos(t)}};
}

}  // namespace

TEST(LikeImages, are_of_one_kernel_one_plane_and_nearly_one_spacing) {
    EXPECT_TRUE(like_images(ct(0.5, 1.0), ct(0.6, 1.2, 25.0)));
    EXPECT_FALSE(like_images(ct(0.5, 1.0), ct(0.5, 1.5)));
    EXPECT_FALSE(like_images(ct(0.4, 1.0), ct(0.6, 1.0)));
    EXPECT_FALSE(like_images(ct(0.5, 1.0), ct(0.5, 1.0, 90.0))) << "axial and coronal";
    MeasuredOn bone = ct(0.5, 1.0);
    bone.role = SeriesRole::ct_bone;
    EXPECT_FALSE(like_images(ct(0.5, 1.0), bone));
    MeasuredOn turned = ct(0.5, 1.0);
    turned.slice_normal = {0.0, 0.0, -1.0};
    EXPECT_TRUE(like_images(ct(0.5, 1.0), turned)) << "slices counted from the other end";
}

TEST(SharedShare, is_greatest_where_images_are_like_and_none_across_kinds) {
    const double like = shared_share(ct(0.5, 1.0), ct(0.5, 1.0)), unlike = shared_share(ct(0.5, 1.0), ct(0.5, 3.0));
    EXPECT_GE(like, unlike);
    EXPECT_LT(like, 1.0) << "noise is never shared";
    EXPECT_GE(unlike, 0.0);
    const MeasuredOn t2{Modality::mr, SeriesRole::t2, 0.5, 3.0, {0, 0, 1}};
    EXPECT_EQ(shared_share(ct(0.5, 1.0), t2), 0.0);
    EXPECT_EQ(shared_share(ct(0.5, 3.0), t2), shared_share(t2, ct(0.5, 3.0)));
    // Shading by the coil and the frequency that fat is shifted by are no property of a scanner's settings: MR never shares more than CT (common practice, no source).
    MeasuredOn thick = t2;
    thick.slice_mm = 4.0;
    EXPECT_GT(shared_share(t2, t2), 0.0);
    EXPECT_LE(shared_share(t2, t2), like);
    EXPECT_EQ(shared_share(t2, thick), 0.0) << "unlike slices";
    EXPECT_EQ(shared_share(ct(0.5, 1.0), ct(0.5, 1.0), BulkTold::in_pieces), unlike) << "pieces have other ends than the whole";
    EXPECT_EQ(shared_share(ct(0.5, 1.0), ct(0.5, 1.0), BulkTold::as_rod), 0.0) << "noise and what lies beside a sponge are no scanner's settings";
    EXPECT_EQ(shared_share(ct(0.5, 1.0), ct(0.5, 1.0), BulkTold::beside_bone), 0.0) << "slices lie elsewhere";
}

}  // namespace perisclera
