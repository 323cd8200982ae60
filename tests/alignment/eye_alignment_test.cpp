// SPDX-License-Identifier: Apache-2.0
// One eye drawn twice in unlike contrasts, turned and moved in between: the alignment finds the turn that was drawn, not the one that it was told.
#include <cmath>
#include <cstring>
#include <numbers>

#include <gtest/gtest.h>

#include "perisclera/alignment/eye_alignment.h"
#include "perisclera/alignment/one_frame.h"
#include "src/alignment/mutual_information.h"
#include "turned_eye.h"

namespace perisclera {

using namespace test;

// Closed form: two values in equal shares tell each other ln 2, whichever is the brighter; what is alike everywhere tells nothing.
TEST(MutualInformation, of_two_values_is_the_logarithm_of_two) {
    std::vector<float> first, opposite, alternating;
    for (int i = 0; i < 4000; ++i) {
        first.push_back(i % 2 == 0 ? 1.0f : 5.0f);
        opposite.push_back(i % 2 == 0 ? 90.0f : -10.0f);
        alternating.push_back(i / 2 % 2 == 0 ? 7.0f : 8.0f);
    }
    MutualInformation information(first);
    information.set_second_range(opposite);
    EXPECT_NEAR(information.with(opposite), std::log(2.0), 1e-9);
    information.set_second_range(alternating);
    EXPECT_NEAR(information.with(alternating), 0.0, 1e-9);
    information.set_second_range(std::vector<float>(4000, 3.0f));
    EXPECT_NEAR(information.with(std::vector<float>(4000, 3.0f)), 0.0, 1e-9);
}

class EyeAlignment : public ::testing::TestWithParam<std::array<double, 3>> {};

TEST_P(EyeAlignment, finds_turn_and_place_that_were_drawn) {
    const PatientPoint here{31, -58, 8}, there{24, -40, 31};
    const EyeFrame first = looking(here, 2.0, -3.0), second = looking(there, -14.0, 8.0);
    const VoxelGrid on_t2 = drawn(first, t2, {0.6, 0.6, 1.0}), on_t1 = drawn(second, t1, GetParam());
    const Globe right = told(first), off = told(looking(there + PatientVector{0.3, -0.3, 0.2}, -10.0, 5.0));
    const auto aligned = align_eye({on_t2, Modality::mr, right}, {on_t1, Modality::mr, off});
    ASSERT_TRUE(aligned);
    EXPECT_LT(degrees_between(off.frame.anterior(), second.anterior()), 5.5) << "what it was told";
    EXPECT_GT(degrees_between(off.frame.anterior(), second.anterior()), 4.5);
    // Rotation within 2 degrees, places within half a millimetre.
    EXPECT_LT(degrees_between(aligned.value().frame.anterior(), second.anterior()), 2.0);
    EXPECT_LT(length(aligned.value().frame.origin() - there), 0.5 * length(off.frame.origin() - there));
    EXPECT_LT(degrees_between(aligned.value().frame.anterior(), second.anterior()), 2.45 * aligned.value().turn_uncertainty.value());
    EXPECT_LT(aligned.value().residual, Mm(0.5));
}

INSTANTIATE_TEST_SUITE_P(slices, EyeAlignment, ::testing::Values(std::array{0.6, 0.6, 1.0}, std::array{0.6, 0.6, 3.0}, std::array{0.6, 3.0, 0.6}));

TEST(EyeAlignment, is_refused_where_the_surfaces_are_of_unlike_size) {
    const EyeFrame frame = looking({31, -58, 8}, 0.0, 0.0);
    const VoxelGrid grid = drawn(frame, t2, {0.8, 0.8, 1.0});
    const Globe globe = told(frame), larger = told(frame, outer + 3.0);
    const auto aligned = align_eye({grid, Modality::mr, globe}, {grid, Modality::mr, larger});
    ASSERT_FALSE(aligned);
    EXPECT_EQ(aligned.error().code, ErrorCode::alignment_refused);
}

TEST(EyeAlignment, is_the_same_to_the_bit_every_time) {
    const EyeFrame first = looking({31, -58, 8}, 2.0, -3.0), second = looking({24, -40, 31}, -14.0, 8.0);
    const VoxelGrid on_t2 = drawn(first, t2, {0.6, 0.6, 1.0}), on_t1 = drawn(second, t1, {0.6, 0.6, 1.0});
    const Globe right = told(first), off = told(looking(second.origin() + PatientVector{0.3, -0.3, 0.2}, -10.0, 5.0));
    const auto once = align_eye({on_t2, Modality::mr, right}, {on_t1, Modality::mr, off}), again = align_eye({on_t2, Modality::mr, right}, {on_t1, Modality::mr, off});
    ASSERT_TRUE(once && again);
    EXPECT_EQ(std::memcmp(&once.value(), &again.value(), sizeof(AlignedEye)), 0);
}

// A ball of one fluid with its wall is the same from all sides: no image can tell its turn.
TEST(EyeAlignment, keeps_to_what_the_frames_tell_where_the_images_tell_nothing) {
    const Contrast even_t2{t2.fluid, t2.fluid, t2.wall, t2.around}, even_t1{t1.fluid, t1.fluid, t1.wall, t1.around};
    const EyeFrame first = looking({31, -58, 8}, 2.0, -3.0), second = looking({24, -40, 31}, -14.0, 8.0);
    const VoxelGrid on_t2 = drawn(first, even_t2, {0.6, 0.6, 1.0}), on_t1 = drawn(second, even_t1, {0.6, 0.6, 1.0});
    const Globe a = told(first), b = told(second);
    const auto aligned = align_eye({on_t2, Modality::mr, a}, {on_t1, Modality::mr, b});
    ASSERT_TRUE(aligned);
    EXPECT_LT(degrees_between(aligned.value().frame.anterior(), second.anterior()), 1.5);
    // Both axes are told to 3 degrees, their difference to 4.2.
    EXPECT_GT(aligned.value().turn_uncertainty.value(), 2.1);
}

// Two lenses alike, 12 degrees to either side of where the second axis is told to be: both turns fit, and neither may be named.
TEST(EyeAlignment, is_refused_where_the_eye_fits_in_two_ways) {
    const EyeFrame first = looking({31, -58, 8}, 0.0, 0.0), second = looking({24, -40, 31}, 0.0, 0.0);
    const EyeFrame to_left = looking(second.origin(), 12.0, 0.0), to_right = looking(second.origin(), -12.0, 0.0);
    const VoxelGrid on_t2 = drawn(first, t2, {0.6, 0.6, 1.0});
    const VoxelGrid twice = test::drawn_grid(second.origin(), {56, 56, 34}, {0.6, 0.6, 1.0}, [&](PatientPoint p) {
        const double a = signal_at(to_left.to_eye(p), t1), b = signal_at(to_right.to_eye(p), t1);
        return a == t1.lens ? a : b;
    });
    Globe a = told(first), b = told(second);
    b.axis_uncertainty = Degrees(9.0);
    const auto aligned = align_eye({on_t2, Modality::mr, a}, {twice, Modality::mr, b});
    ASSERT_FALSE(aligned);
    EXPECT_EQ(aligned.error().code, ErrorCode::alignment_refused);
    EXPECT_NE(aligned.error().what.find("two ways"), std::string::npos) << aligned.error().what;
}

TEST(OneFrame, is_shared_by_the_eye_in_all_series) {
    const EyeFrame first = looking({31, -58, 8}, 2.0, -3.0), second = looking({24, -40, 31}, -14.0, 8.0);
    const VoxelGrid on_t2 = drawn(first, t2, {0.6, 0.6, 1.0}), on_t1 = drawn(second, t1, {0.6, 0.6, 1.0});
    Globe sure = told(first), doubtful = told(looking(second.origin() + PatientVector{0.3, -0.3, 0.2}, -10.0, 5.0));
    sure.axis_uncertainty = Degrees(1.0);
    std::vector<SeriesViews> views(2);
    views[0].eye[1].emplace(EyeView{0, Modality::mr, SeriesRole::t2, 0.0, PolarBlock(on_t2, sure)});
    views[1].eye[1].emplace(EyeView{1, Modality::mr, SeriesRole::t1, 0.0, PolarBlock(on_t1, doubtful)});
    bring_into_one_frame(views, {&on_t2, &on_t1});
    const PolarBlock &a = views[0].eye[1]->block, &b = views[1].eye[1]->block;
    double worst = 0.0;
    for (const double hour : {0.0, 3.0, 6.0, 9.0}) {
        const EyePoint place = first.to_eye(a.patient_point(hour, std::numbers::pi / 2, 0.0));
        worst = std::max(worst, length(second.to_patient(place) - b.patient_point(hour, std::numbers::pi / 2, 0.0)));
    }
    EXPECT_LT(worst, 0.5) << "at the equator, 12 mm from the centre";
    EXPECT_TRUE(views[1].problems.empty());
    EXPECT_FALSE(views[0].eye[1]->kept_apart || views[1].eye[1]->kept_apart);
}

TEST(OneFrame, a_series_that_cannot_be_brought_there_is_kept_apart_and_told) {
    const EyeFrame frame = looking({31, -58, 8}, 0.0, 0.0);
    const VoxelGrid grid = drawn(frame, t2, {0.8, 0.8, 1.0});
    Globe sure = told(frame);
    sure.axis_uncertainty = Degrees(1.0);
    std::vector<SeriesViews> views(2);
    views[0].eye[1].emplace(EyeView{0, Modality::mr, SeriesRole::t2, 0.0, PolarBlock(grid, sure)});
    views[1].eye[1].emplace(EyeView{1, Modality::mr, SeriesRole::t1, 0.0, PolarBlock(grid, told(frame, outer + 3.0))});
    bring_into_one_frame(views, {&grid, &grid});
    EXPECT_FALSE(views[0].eye[1]->kept_apart);
    EXPECT_TRUE(views[1].eye[1]->kept_apart);
    EXPECT_EQ(views[1].problems.size(), 1U);
}

}  // namespace perisclera
