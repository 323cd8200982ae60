// SPDX-License-Identifier: Apache-2.0
// Thickness, gaps and extent of drawn stacks: what is told is arithmetic on the stated numbers.
#include <gtest/gtest.h>

#include "src/assemble/stack_quality.h"

namespace perisclera {

namespace {

VolumeGeometry stack(int slices, double distance) {
    return VolumeGeometry::make({0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, distance}, {0.5, 0.5}, {256, 256, slices}).value();
}

using Words = std::vector<std::string>;

}  // namespace

TEST(StackQuality, thin_contiguous_slices_need_no_word) { EXPECT_EQ(stack_problems(stack(60, 1.0), 1.0), Words{}); }

TEST(StackQuality, overlapping_slices_need_no_word) { EXPECT_EQ(stack_problems(stack(60, 0.7), 1.25), Words{}); }

TEST(StackQuality, thick_slices_and_the_room_between_them_are_told) {
    EXPECT_EQ(stack_problems(stack(20, 5.0), 4.0), (Words{"slices of 5.00 mm are thick for the orbit: thin elements may not show", "between slices 1.00 mm were not imaged"}));
}

TEST(StackQuality, a_thick_slice_counts_however_close_the_next_one_lies) {
    EXPECT_EQ(stack_problems(stack(40, 2.0), 4.0), (Words{"slices of 4.00 mm are thick for the orbit: thin elements may not show"}));
}

TEST(StackQuality, a_slab_thinner_than_a_globe_with_surroundings_is_told) {
    EXPECT_EQ(stack_problems(stack(12, 2.0), 2.0), (Words{"the slices cover 24.00 mm, less than a globe and its surroundings"}));
}

TEST(StackQuality, a_stated_distance_that_the_positions_contradict_is_told) {
    EXPECT_EQ(contradicted_distance(stack(60, 3.0), 3.0, 7.0), "the positions put slices 3.00 mm apart, the header says 7.00 mm");
    EXPECT_EQ(contradicted_distance(stack(60, 3.0), 2.0, 3.0), std::nullopt);
    EXPECT_EQ(contradicted_distance(stack(60, 3.0), 2.0, -3.0), std::nullopt) << "some write the direction of counting with it";
    EXPECT_EQ(contradicted_distance(stack(60, 3.0), 2.0, 1.0), std::nullopt) << "some write the gap";
    EXPECT_EQ(contradicted_distance(stack(60, 3.0), 3.0, std::nullopt), std::nullopt);
}

TEST(StackQuality, without_a_stated_thickness_no_gap_is_guessed) { EXPECT_EQ(stack_problems(stack(20, 3.0), std::nullopt), Words{}); }

}  // namespace perisclera
