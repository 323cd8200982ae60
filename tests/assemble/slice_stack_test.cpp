// SPDX-License-Identifier: Apache-2.0
// Slices at positions known in closed form become a volume with that geometry, or an error that names what is wrong.
#include "perisclera/assemble/slice_stack.h"
#include "perisclera/assemble/split_stacks.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "perisclera/ingest/file_set.h"
#include "tests/support/dicom_slice.h"
#include "tests/support/test_folder.h"

namespace perisclera {
namespace {

using test::DicomSlice;
using test::series_of;

constexpr double degree = 3.14159265358979323846 / 180.0;

class Stack : public ::testing::Test {
protected:
    std::vector<SliceHeader> headers(const std::vector<DicomSlice>& slices) {
        test::write_series(folder_.path(), slices);
        auto set = scan_inputs({folder_.path()});
        EXPECT_TRUE(set.ok() && set.value().refused.empty());
        EXPECT_EQ(set.value().slices.size(), slices.size());
        return std::move(set).value().slices;
    }
    Result<SliceStack> make(const std::vector<DicomSlice>& slices) { return SliceStack::make(headers(slices), "series 1"); }
    std::optional<ErrorCode> code(const std::vector<DicomSlice>& slices) {
        const auto stack = make(slices);
        return stack ? std::nullopt : std::optional(stack.error().code);
    }
    test::TestFolder folder_;
};

void expect_near(PatientVector a, PatientVector b, double tolerance) { EXPECT_LT(length(a - b), tolerance) << a.x << ' ' << a.y << ' ' << a.z; }

TEST_F(Stack, axial_slices_become_their_volume) {
    const auto stack = make(series_of(6, {-30.0, -40.0, 10.0}, {0.0, 0.0, 1.5}));
    ASSERT_TRUE(stack.ok()) << one_line(stack.error());
    const VolumeGeometry& geometry = stack.value().geometry();
    EXPECT_EQ(geometry.size(), (std::array<int, 3>{12, 8, 6}));
    EXPECT_DOUBLE_EQ(geometry.spacing_mm()[0], 0.25);  // along a row: the second value of PixelSpacing
    EXPECT_DOUBLE_EQ(geometry.spacing_mm()[1], 0.5);
    EXPECT_NEAR(geometry.spacing_mm()[2], 1.5, 1e-12);
    const PatientPoint far = geometry.to_patient({11.0, 7.0, 5.0});
    expect_near(far - PatientPoint{-30.0 + 11 * 0.25, -40.0 + 7 * 0.5, 10.0 + 5 * 1.5}, {0, 0, 0}, 1e-9);
    EXPECT_TRUE(stack.value().notes().empty());
}

TEST_F(Stack, one_slice_that_alone_lies_off_the_line_is_told) {
    for (const std::size_t place : {0U, 1U, 6U, 11U}) {
        auto slices = series_of(12, {0, 0, 10.0}, {0, 0.2, 1.5});
        slices[place].position[2] += 0.06;
        const auto stack = make(slices);
        ASSERT_TRUE(stack.ok()) << one_line(stack.error());
        const auto& notes = stack.value().notes();
        const std::string words = "slice " + std::to_string(place + 1) + " lies 0.06 mm off the line that all others lie on";
        EXPECT_EQ(std::count(notes.begin(), notes.end(), words), 1) << words;
    }
}

TEST_F(Stack, rounded_positions_need_no_word) {
    auto slices = series_of(12, {0, 0, 10.0}, {0, 0, 1.37});
    for (auto& slice : slices) slice.position[2] = std::round(slice.position[2] * 10.0) / 10.0;
    const auto stack = make(slices);
    ASSERT_TRUE(stack.ok()) << one_line(stack.error());
    EXPECT_TRUE(stack.value().notes().empty());
}

TEST_F(Stack, slices_acquired_in_reverse_give_the_same_volume) {
    auto slices = series_of(6, {0, 0, 10.0}, {0, 0, 1.5});
    const auto forwards = make(slices);
    std::reverse(slices.begin(), slices.end());
    const auto backwards = make(slices);
    ASSERT_TRUE(forwards.ok() && backwards.ok());
    EXPECT_EQ(forwards.value().geometry().origin(), backwards.value().geometry().origin());
    EXPECT_EQ(forwards.value().geometry().slice_step(), backwards.value().geometry().slice_step());
    for (std::size_t i = 0; i < 6; ++i) EXPECT_EQ(forwards.value().slices()[i].sop_instance_uid, backwards.value().slices()[i].sop_instance_uid);
}

TEST_F(Stack, directions_that_differ_in_their_last_digits_mean_the_same_in_any_order) {
    // Tilted by 0.52 degrees against all normals but the last one's, which is turned by 0.05 degrees towards the stacking.
    auto slices = series_of(6, {0, 0, 10}, {0, 2 * std::tan(0.52 * degree), 2});
    slices.back().orientation = {1, 0, 0, 0, std::cos(0.05 * degree), -std::sin(0.05 * degree)};
    auto headed = headers(slices);
    const auto forwards = SliceStack::make(headed, "series 1");
    std::reverse(headed.begin(), headed.end());
    const auto backwards = SliceStack::make(headed, "series 1");
    ASSERT_TRUE(forwards.ok() && backwards.ok());
    EXPECT_EQ(forwards.value().notes().size(), 1U);
    EXPECT_EQ(forwards.value().notes(), backwards.value().notes());
}

TEST_F(Stack, coronal_and_sagittal_slices_keep_their_axes) {
    DicomSlice coronal;
    coronal.orientation = {1, 0, 0, 0, 0, -1};
    const auto stack = make(series_of(5, {-20, 50, 30}, {0, -3, 0}, coronal));  // from behind to the front
    ASSERT_TRUE(stack.ok());
    expect_near(stack.value().geometry().normal(), {0, 1, 0}, 1e-12);  // row x column
    EXPECT_NEAR(stack.value().geometry().to_patient({0, 0, 0}).y, 38.0, 1e-9) << "slices run along row x column";
    EXPECT_NEAR(stack.value().geometry().spacing_mm()[2], 3.0, 1e-12);
}

TEST_F(Stack, gantry_tilt_is_followed_exactly) {
    // Slices tilted by 15 degrees about the x axis, the table moving along z by 2 mm.
    DicomSlice tilted;
    tilted.orientation = {1, 0, 0, 0, std::cos(15 * degree), std::sin(15 * degree)};
    const auto stack = make(series_of(7, {-5, -6, -7}, {0, 0, 2}, tilted));
    ASSERT_TRUE(stack.ok()) << one_line(stack.error());
    const VolumeGeometry& geometry = stack.value().geometry();
    EXPECT_NEAR(geometry.spacing_mm()[2], 2.0 * std::cos(15 * degree), 1e-9);  // perpendicular distance
    const double y = 3 * 0.5;                                                  // three rows down the column
    const PatientPoint expected{-5 + 4 * 0.25, -6 + y * std::cos(15 * degree), -7 + 5 * 2.0 + y * std::sin(15 * degree)};
    expect_near(geometry.to_patient({4, 3, 5}) - expected, {0, 0, 0}, 1e-8);
    ASSERT_EQ(stack.value().notes().size(), 1U);
    EXPECT_NE(stack.value().notes().front().find("15.00 degrees"), std::string::npos);
}

TEST_F(Stack, a_missing_slice_is_a_gap_with_its_place_and_width) {
    auto slices = series_of(9, {0, 0, 0}, {0, 0, 1});
    slices.erase(slices.begin() + 4);
    const auto stack = make(slices);
    ASSERT_FALSE(stack.ok());
    EXPECT_EQ(stack.error().code, ErrorCode::gap_in_stack);
    EXPECT_EQ(stack.error().where, "series 1");
    EXPECT_NE(stack.error().what.find("2.00 mm between slices 4 and 5"), std::string::npos) << stack.error().what;
}

TEST_F(Stack, a_gap_near_one_end_leaves_the_larger_side_as_a_volume_of_its_own) {
    auto slices = series_of(12, {0, 0, 0}, {0, 0, 1});
    slices.erase(slices.begin() + 9);
    const auto stack = make(slices);
    ASSERT_TRUE(stack.ok()) << one_line(stack.error());
    EXPECT_EQ(stack.value().slices().size(), 9U);
    EXPECT_NEAR(stack.value().geometry().spacing_mm()[2], 1.0, 1e-9) << "the gap must not stretch the spacing";
    ASSERT_TRUE(stack.value().cut().has_value());
    EXPECT_EQ(stack.value().cut()->code, ErrorCode::gap_in_stack);
}

TEST_F(Stack, two_missing_slices_are_a_gap) {
    auto slices = series_of(12, {0, 0, 0}, {0, 0, 0.6});
    slices.erase(slices.begin() + 8);
    slices.erase(slices.begin() + 3);
    EXPECT_EQ(code(slices), ErrorCode::gap_in_stack);
}

TEST_F(Stack, uneven_steps_beyond_a_tenth_of_a_millimetre_are_refused) {
    auto slices = series_of(9, {0, 0, 0}, {0, 0, 2});
    slices[4].position[2] += 0.05;
    EXPECT_FALSE(code(slices).has_value()) << "rounding of positions to a tenth is no fault";
    slices[4].position[2] += 0.25;
    EXPECT_EQ(code(slices), ErrorCode::uneven_spacing);
}

TEST_F(Stack, slices_shifted_sideways_are_refused) {
    auto slices = series_of(9, {0, 0, 0}, {0, 0, 2});
    slices[4].position[0] += 1.0;
    EXPECT_EQ(code(slices), ErrorCode::bad_position);
}

TEST_F(Stack, an_identical_copy_is_dropped_with_a_note) {
    auto slices = series_of(6, {0, 0, 0}, {0, 0, 1});
    slices.push_back(slices[2]);
    slices.back().sop_uid = "1.2.3.99";
    slices.push_back(slices[3]);  // same identifier, same bytes
    const auto stack = make(slices);
    ASSERT_TRUE(stack.ok()) << one_line(stack.error());
    EXPECT_EQ(stack.value().slices().size(), 6U);
    ASSERT_EQ(stack.value().notes().size(), 1U);
    EXPECT_NE(stack.value().notes().front().find("dropped: 2"), std::string::npos);
}

TEST_F(Stack, different_images_at_one_place_overlap) {
    auto slices = series_of(6, {0, 0, 0}, {0, 0, 1});
    slices.push_back(slices[2]);
    slices.back().sop_uid = "1.2.3.99";
    slices.back().stored[0] += 1;
    EXPECT_EQ(code(slices), ErrorCode::overlapping_slices);
}

TEST_F(Stack, one_identifier_for_two_images_is_refused) {
    auto slices = series_of(6, {0, 0, 0}, {0, 0, 1});
    slices.push_back(slices[2]);
    slices.back().stored[0] += 1;
    EXPECT_EQ(code(slices), ErrorCode::same_uid_different_image);
}

TEST_F(Stack, few_slices_are_no_volume) { EXPECT_EQ(code(series_of(3, {0, 0, 0}, {0, 0, 1})), ErrorCode::too_few_slices); }

TEST_F(Stack, frames_of_reference_are_not_mixed) {
    auto slices = series_of(6, {0, 0, 0}, {0, 0, 1});
    slices[3].frame_uid = "1.9.9";
    EXPECT_EQ(code(slices), ErrorCode::mixed_frame);
}

TEST_F(Stack, what_differs_in_geometry_or_acquisition_is_split) {
    auto slices = series_of(6, {0, 0, 0}, {0, 0, 1});
    DicomSlice coronal;
    coronal.orientation = {1, 0, 0, 0, 0, -1};
    coronal.series_uid = "1.2.3";
    auto others = series_of(4, {0, 0, 0}, {0, 2, 0}, coronal);
    for (std::size_t i = 0; i < others.size(); ++i) others[i].sop_uid = "1.2.4." + std::to_string(i + 1);
    slices.insert(slices.end(), others.begin(), others.end());
    auto sharp = series_of(5, {0, 0, 0}, {0, 0, 1});
    for (std::size_t i = 0; i < sharp.size(); ++i) {
        sharp[i].sop_uid = "1.2.5." + std::to_string(i + 1);
        sharp[i].text[{0x0018, 0x1210}] = "BONE";
    }
    slices.insert(slices.end(), sharp.begin(), sharp.end());
    const auto stacks = split_into_stacks(headers(slices));
    ASSERT_EQ(stacks.size(), 3U);
    EXPECT_EQ(stacks[0].size(), 6U);
    EXPECT_EQ(stacks[1].size(), 5U);
    EXPECT_EQ(stacks[2].size(), 4U);
    for (const auto& stack : stacks) EXPECT_TRUE(SliceStack::make(stack, "series 1").ok());
    EXPECT_EQ(differences_between(stacks), (std::vector<std::string>{"orientation", "reconstruction kernel"}));
}

/// Slices at the same places twice, told apart by one attribute only.
class OneSeries : public Stack, public ::testing::WithParamInterface<std::tuple<test::TagNumber, const char*, const char*, const char*>> {};

TEST_P(OneSeries, with_several_images_at_each_place_is_split_and_the_reason_told) {
    const auto& [tag, first, second, words] = GetParam();
    DicomSlice mr;
    mr.modality = "MR";
    mr.text[tag] = first;
    auto slices = series_of(5, {0, 0, 0}, {0, 0, 2}, mr);
    mr.text[tag] = second;
    auto others = series_of(5, {0, 0, 0}, {0, 0, 2}, mr);
    for (auto& slice : others) {
        slice.sop_uid += ".2";
        for (auto& value : slice.stored) value += 500;
    }
    // Interleaved, as scanners send them.
    std::vector<DicomSlice> all;
    for (std::size_t i = 0; i < 5; ++i) all.insert(all.end(), {slices[i], others[i]});
    const auto stacks = split_into_stacks(headers(all));
    ASSERT_EQ(stacks.size(), 2U);
    EXPECT_EQ(differences_between(stacks), std::vector<std::string>{words});
    for (const auto& stack : stacks) {
        const auto made = SliceStack::make(stack, "series 1");
        ASSERT_TRUE(made.ok()) << one_line(made.error());
        EXPECT_EQ(made.value().slices().size(), 5U);
        const auto is_of_second = [](const SliceHeader& slice) { return std::count(slice.sop_instance_uid.begin(), slice.sop_instance_uid.end(), '.') == 4; };
        for (const SliceHeader& slice : made.value().slices()) EXPECT_EQ(is_of_second(slice), is_of_second(stack.front()));
    }
}

INSTANTIATE_TEST_SUITE_P(attributes, OneSeries,
                         ::testing::Values(std::tuple{test::TagNumber{0x0018, 0x0081}, "12", "90", "echo time"}, std::tuple{test::TagNumber{0x0018, 0x0082}, "150", "2200", "inversion time"},
                                           std::tuple{test::TagNumber{0x0020, 0x0100}, "1", "2", "temporal position"}, std::tuple{test::TagNumber{0x0018, 0x0010}, "", "agent", "contrast agent"},
                                           std::tuple{test::TagNumber{0x0018, 0x0086}, "1", "2", "echo number"}, std::tuple{test::TagNumber{0x0020, 0x0012}, "1", "2", "acquisition number"},
                                           std::tuple{test::TagNumber{0x0018, 0x1060}, "0", "350.5", "trigger time"},
                                           std::tuple{test::TagNumber{0x0008, 0x0008}, "ORIGINAL\\PRIMARY\\M", "ORIGINAL\\PRIMARY\\P", "kind of image"}));

TEST_F(Stack, diffusion_weightings_are_split) {
    DicomSlice mr;
    mr.modality = "MR";
    auto slices = series_of(5, {0, 0, 0}, {0, 0, 2}, mr), others = slices;
    for (std::size_t i = 0; i < 5; ++i) {
        slices[i].floats[{0x0018, 0x9087}] = 0.0;
        others[i].floats[{0x0018, 0x9087}] = 1000.0;
        others[i].sop_uid += ".2";
    }
    slices.insert(slices.end(), others.begin(), others.end());
    const auto stacks = split_into_stacks(headers(slices));
    ASSERT_EQ(stacks.size(), 2U);
    EXPECT_EQ(differences_between(stacks), std::vector<std::string>{"diffusion weighting"});
}

TEST_F(Stack, an_acquisition_number_that_runs_on_splits_nothing) {
    auto slices = series_of(6, {0, 0, 0}, {0, 0, 1});
    for (std::size_t i = 0; i < 6; ++i) slices[i].text[{0x0020, 0x0012}] = std::to_string(i / 2 + 1);
    EXPECT_EQ(split_into_stacks(headers(slices)).size(), 1U);
}

TEST_F(Stack, a_lone_double_with_a_number_of_its_own_is_still_an_overlap) {
    auto slices = series_of(6, {0, 0, 0}, {0, 0, 1});
    slices.push_back(slices[2]);
    slices.back().sop_uid = "1.2.3.99";
    slices.back().stored[0] += 1;
    for (auto& slice : slices) slice.text[{0x0020, 0x0012}] = "1";
    slices.back().text[{0x0020, 0x0012}] = "2";
    const auto stacks = split_into_stacks(headers(slices));
    ASSERT_EQ(stacks.size(), 1U);
    const auto made = SliceStack::make(stacks.front(), "series 1");
    ASSERT_FALSE(made.ok());
    EXPECT_EQ(made.error().code, ErrorCode::overlapping_slices);
}

}  // namespace
}  // namespace perisclera
