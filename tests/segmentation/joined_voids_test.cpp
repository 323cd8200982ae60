// SPDX-License-Identifier: Apache-2.0
// Rings that MR shows in pieces. Where a slice runs along the wall, its voxels hold as much of what lies beside a band as of the band itself (common practice, no source).
#include <numbers>

#include <gtest/gtest.h>

#include "perisclera/segmentation/element_fusion.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

constexpr double degrees = std::numbers::pi / 180.0;

/// Of axial slices: they run along the wall at 12 and 6 o'clock.
EyeView axial(double slice_mm) {
    const auto even = [](PatientPoint) { return 100.0; };
    return {0, Modality::mr, SeriesRole::t1, 120.0, PolarBlock(test::drawn_grid({0, 2, 0}, {80, 80, static_cast<int>(60.0 / slice_mm)}, {0.7, 0.7, slice_mm}, even), test::ball_globe(Eye::left, {0, 2, 0}, 12.0))};
}

FoundElement piece(double from_hour, double span_hours, double first_deg = 80.0) {
    return test::element_of({from_hour, span_hours, first_deg * degrees, (first_deg + 30.0) * degrees, 0.0, 2.0}, Appearance::mr_void, 5, 100);
}

std::vector<EyeElement> fused(const EyeView& view, std::vector<FoundElement> found) { return fuse_elements({&view}, {std::move(found)}).elements; }

}  // namespace

TEST(JoinedVoids, a_ring_is_one_though_slices_run_along_the_wall_between_its_pieces) {
    const EyeView thick = axial(3.0);
    const auto ring = fused(thick, {piece(1.6, 3.0), piece(7.5, 2.8)});
    ASSERT_EQ(ring.size(), 1U);
    EXPECT_TRUE(ring[0].found.closed_ring);
    EXPECT_NEAR(volume_mm3(thick.block, ring[0].found), volume_mm3(thick.block, piece(1.6, 3.0)) + volume_mm3(thick.block, piece(7.5, 2.8)), 1e-6);
    EXPECT_EQ(fused(axial(1.0), {piece(1.6, 3.0), piece(7.5, 2.8)}).size(), 2U) << "thin slices would show what lies between";
    EXPECT_EQ(fused(thick, {piece(1.6, 3.0), piece(7.5, 2.8, 50.0)}).size(), 2U) << "on two circles";
    EXPECT_EQ(fused(thick, {piece(11.0, 2.0), piece(5.0, 2.0)}).size(), 2U) << "open at 3 and 9 o'clock, where slices cut across the wall";
    EXPECT_EQ(fused(thick, {piece(2.2, 1.6), piece(8.2, 1.6)}).size(), 2U) << "too little of the clock";
}

TEST(JoinedVoids, what_a_tendon_parts_is_one) {
    const EyeView thin = axial(1.0);
    const auto joined = fused(thin, {piece(1.0, 1.5), piece(3.0, 1.0)});
    ASSERT_EQ(joined.size(), 1U);
    EXPECT_FALSE(joined[0].found.closed_ring);
    EXPECT_EQ(fused(thin, {piece(1.0, 1.5), piece(4.5, 1.0)}).size(), 2U) << "two hours apart";
}

}  // namespace perisclera
