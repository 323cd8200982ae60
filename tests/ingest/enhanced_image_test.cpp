// SPDX-License-Identifier: Apache-2.0
// Enhanced multi-frame CT and MR (PS3.3 A.36, A.38, C.7.6.16): every frame against what was written and against what DCMTK and GDCM read.
#include <gtest/gtest.h>

#include <algorithm>
#include <functional>

#include "perisclera/ingest/file_set.h"
#include "perisclera/ingest/read_pixels.h"
#include "tests/support/enhanced_image.h"
#include "tests/support/outside_tools.h"
#include "tests/support/test_folder.h"

namespace perisclera {
namespace {

using test::EnhancedImage;
using test::frames_of;

class Enhanced : public ::testing::Test {
protected:
    std::filesystem::path file() const { return folder_.path() / "image"; }
    FileSet scan() const {
        auto set = scan_inputs({file()});
        EXPECT_TRUE(set.ok());
        return std::move(set).value();
    }
    FileSet scan(const EnhancedImage& image) const {
        test::write_enhanced(file(), image);
        return scan();
    }
    /// The code with which an image is refused, once, or nothing.
    std::optional<ErrorCode> code(const EnhancedImage& image) const {
        const FileSet set = scan(image);
        EXPECT_LE(set.refused.size(), 1U) << "one line for a file";
        if (set.refused.empty()) return std::nullopt;
        EXPECT_TRUE(set.slices.empty());
        EXPECT_EQ(set.refused.front().series_uid, "1.2.5");
        return set.refused.front().error.code;
    }
    static EnhancedImage image_of(bool ct) {
        EnhancedImage image;
        image.ct = ct;
        image.frames = frames_of(5, {-10, -20, 30}, {0, 0, 1.5});
        for (std::size_t i = 0; i < image.frames.size(); ++i) {
            image.frames[i].slope = 1.0 + 0.25 * static_cast<double>(i);
            image.frames[i].intercept = ct ? -1024.0 - static_cast<double>(i) : 0.0;
        }
        return image;
    }
    test::TestFolder folder_;
};

class BothModalities : public Enhanced, public ::testing::WithParamInterface<bool> {};
INSTANTIATE_TEST_SUITE_P(ct_and_mr, BothModalities, ::testing::Bool());

TEST_P(BothModalities, frames_become_slices_with_their_own_place_and_scale) {
    const EnhancedImage image = image_of(GetParam());
    const FileSet set = scan(image);
    ASSERT_TRUE(set.refused.empty()) << one_line(set.refused.front().error);
    ASSERT_EQ(set.slices.size(), 5U);
    const auto positions = test::positions_by_dcmtk(file());
    const auto stored = test::values_by_gdcm(file());
    ASSERT_EQ(stored.size(), 5U * 96U);
    for (std::size_t i = 0; i < 5; ++i) {
        const SliceHeader& slice = set.slices[i];
        EXPECT_EQ(slice.frame, static_cast<int>(i));
        EXPECT_EQ(slice.where, "file 1 of 1, frame " + std::to_string(i + 1));
        EXPECT_EQ(slice.modality, image.ct ? Modality::ct : Modality::mr);
        EXPECT_EQ(slice.geometry.position, (PatientPoint{positions[i][0], positions[i][1], positions[i][2]}));
        EXPECT_EQ(slice.geometry.position.z, 30.0 + 1.5 * static_cast<double>(i));
        EXPECT_EQ(slice.geometry.row_spacing_mm, 0.5);
        EXPECT_EQ(slice.geometry.column_spacing_mm, 0.25);
        EXPECT_EQ(slice.acquisition.slice_thickness_mm, 1.0);
        const auto pixels = read_pixels(slice);
        ASSERT_TRUE(pixels.ok()) << one_line(pixels.error());
        for (std::size_t p = 0; p < 96; ++p)
            ASSERT_EQ(pixels.value()[p], static_cast<float>(stored[i * 96 + p] * image.frames[i].slope + image.frames[i].intercept)) << i << ' ' << p;
        EXPECT_EQ(stored[i * 96 + 7], static_cast<float>(107 + i));
    }
}

TEST_P(BothModalities, compressed_frames_give_the_values_that_were_written) {
    const EnhancedImage image = image_of(GetParam());
    const FileSet plain = scan(image);
    std::vector<float> expected(5U * 96U), found(5U * 96U);
    ASSERT_TRUE(read_stack(plain.slices, expected, 1).ok());
    const std::vector<std::pair<std::string, std::function<void()>>> encoders{
        {"1.2.840.10008.1.2.5", [&] { test::run_tool({"dcmcrle", file().string(), file().string()}); }},
        {"1.2.840.10008.1.2.4.70", [&] { test::run_tool({"dcmcjpeg", file().string(), file().string()}); }},
        {"1.2.840.10008.1.2.4.80", [&] { test::run_tool({"dcmcjpls", file().string(), file().string()}); }},
        {"1.2.840.10008.1.2.4.80", [&] { test::run_tool({"dcmcjpls", "--offset-table-empty", file().string(), file().string()}); }},
        {"1.2.840.10008.1.2.4.90", [&] { test::recode_with_gdcm(file(), {"--j2k"}); }},
        {"1.2.840.10008.1.2.1.99", [&] { test::run_tool({"dcmconv", "+td", file().string(), file().string()}); }},
        {"1.2.840.10008.1.2.2", [&] { test::run_tool({"dcmconv", "+tb", file().string(), file().string()}); }},
        {"1.2.840.10008.1.2", [&] { test::run_tool({"dcmconv", "+ti", file().string(), file().string()}); }},
    };
    for (const auto& [syntax, encode] : encoders) {
        test::write_enhanced(file(), image);
        encode();
        const FileSet set = scan();
        ASSERT_EQ(set.slices.size(), 5U) << syntax << (set.refused.empty() ? "" : one_line(set.refused.front().error));
        EXPECT_EQ(set.slices.front().layout.transfer_syntax_uid, syntax);
        const auto read = read_stack(set.slices, found, 2);
        ASSERT_TRUE(read.ok()) << syntax << one_line(read.error());
        EXPECT_EQ(found, expected) << syntax;
    }
}

TEST_F(Enhanced, frames_in_several_fragments_are_told_apart_by_the_offset_table) {
    EnhancedImage image = image_of(true);
    image.rows = image.columns = 64;
    for (std::size_t i = 0; i < 5; ++i) {
        image.frames[i].stored.clear();
        for (int p = 0; p < 64 * 64; ++p) image.frames[i].stored.push_back(static_cast<int>((static_cast<unsigned>(p) * 2654435761U + i) >> 9 & 0xFFF));
    }
    const FileSet plain = scan(image);
    std::vector<float> expected(5U * 4096U), found(5U * 4096U);
    ASSERT_TRUE(read_stack(plain.slices, expected, 1).ok());
    test::run_tool({"dcmcjpls", "--fragment-size", "2", "--offset-table-create", file().string(), file().string()});
    const FileSet set = scan();
    ASSERT_EQ(set.slices.size(), 5U) << (set.refused.empty() ? "" : one_line(set.refused.front().error));
    ASSERT_TRUE(read_stack(set.slices, found, 2).ok());
    EXPECT_EQ(found, expected);

    // Without the table nobody can tell where a frame begins.
    test::write_enhanced(file(), image);
    test::run_tool({"dcmcjpls", "--fragment-size", "2", "--offset-table-empty", file().string(), file().string()});
    const FileSet lost = scan();
    ASSERT_EQ(lost.refused.size(), 1U);
    EXPECT_EQ(lost.refused.front().error.code, ErrorCode::decode_failed);
}

TEST_F(Enhanced, what_classic_images_say_at_their_top_level_is_found_in_the_groups) {
    EnhancedImage mr = image_of(false);
    mr.frames[2].echo_time = 80.5;
    mr.frames[3].b_value = 800.0;
    mr.frames[4].temporal_index = 2;
    const FileSet mr_set = scan(mr);
    ASSERT_EQ(mr_set.slices.size(), 5U);
    const AcquisitionTags& tags = mr_set.slices[2].acquisition;
    EXPECT_EQ(tags.echo_time_ms, 80.5);
    EXPECT_EQ(tags.repetition_time_ms, 500.0);
    EXPECT_EQ(tags.flip_angle_deg, 90.0);
    EXPECT_EQ(tags.spectral_suppression, "FAT");
    EXPECT_EQ(tags.acquisition_contrast, "T1");
    EXPECT_EQ(tags.scanning_sequence, std::vector<std::string>{"SE"});
    EXPECT_EQ(tags.image_type, (std::vector<std::string>{"ORIGINAL", "PRIMARY", "VOLUME", "NONE", "MAGNITUDE"}));
    EXPECT_EQ(mr_set.slices[3].acquisition.b_value, 800.0);
    EXPECT_EQ(mr_set.slices[4].acquisition.temporal_position, 2);
    const FileSet ct_set = scan(image_of(true));
    ASSERT_EQ(ct_set.slices.size(), 5U);
    EXPECT_EQ(ct_set.slices[0].acquisition.kvp, 120.0);
    EXPECT_EQ(ct_set.slices[0].acquisition.kernel, "SOFT");
}

TEST_F(Enhanced, a_missing_group_is_named_and_nothing_is_put_in_its_place) {
    struct Case {
        bool ct;
        test::TagNumber group;
        ErrorCode code;
        const char* name;
    };
    for (const Case& c : {Case{true, {0x0028, 0x9110}, ErrorCode::bad_spacing, "Pixel Measures"}, Case{false, {0x0020, 0x9113}, ErrorCode::bad_position, "Plane Position"},
                          Case{false, {0x0020, 0x9116}, ErrorCode::bad_orientation, "Plane Orientation"}, Case{true, {0x0020, 0x9111}, ErrorCode::bad_value, "Frame Content"},
                          Case{true, {0x0028, 0x9145}, ErrorCode::no_hounsfield, "Pixel Value Transformation"}, Case{true, {0x0018, 0x9329}, ErrorCode::bad_value, "CT Image Frame Type"},
                          Case{false, {0x0018, 0x9226}, ErrorCode::bad_value, "MR Image Frame Type"}}) {
        EnhancedImage image = image_of(c.ct);
        image.absent_groups = {c.group};
        EXPECT_EQ(code(image), c.code) << c.name;
        const FileSet set = scan();
        EXPECT_NE(set.refused.at(0).error.what.find(c.name), std::string::npos);
        EXPECT_NE(set.refused.at(0).error.what.find("frame 1"), std::string::npos);
    }
    EnhancedImage mr = image_of(false);
    mr.absent_groups = {{0x0028, 0x9145}, {0x0018, 0x9114}, {0x0018, 0x9117}};
    EXPECT_FALSE(code(mr).has_value()) << "MR values have no unit, and echo time and diffusion are no geometry";
}

TEST_F(Enhanced, a_group_given_twice_is_a_conflict) {
    EnhancedImage image = image_of(true);
    image.doubled_groups = {{0x0028, 0x9110}};  // shared and per frame, which PS3.3 C.7.6.16.1.1 forbids
    EXPECT_EQ(code(image), ErrorCode::conflicting_values);
}

TEST_F(Enhanced, numbers_of_frames_that_do_not_fit_are_refused) {
    for (const char* number : {"4", "6", "0", "-1", "five", "5000", "2147483648"}) {
        EnhancedImage image = image_of(true);
        image.number_of_frames = number;
        EXPECT_EQ(code(image), ErrorCode::bad_size) << number;
    }
    EnhancedImage image = image_of(false);
    image.items_left_out = 1;
    EXPECT_EQ(code(image), ErrorCode::bad_size);
    image = image_of(false);
    image.frames[4].stored.pop_back();
    EXPECT_EQ(code(image), ErrorCode::pixels_short);
}

TEST_F(Enhanced, one_unusable_frame_costs_the_file_and_is_named) {
    EnhancedImage image = image_of(true);
    image.frames[3].slope = 0.0;
    EXPECT_EQ(code(image), ErrorCode::no_hounsfield);
    EXPECT_EQ(scan().refused.front().error.where, "file 1 of 1, frame 4");
}

TEST_F(Enhanced, localizer_frames_are_left_out) {
    EnhancedImage image = image_of(true);
    image.frames[0].frame_type = "ORIGINAL\\PRIMARY\\LOCALIZER\\NONE";
    EXPECT_EQ(scan(image).slices.size(), 4U);
    for (auto& frame : image.frames) frame.frame_type = "ORIGINAL\\PRIMARY\\LOCALIZER\\NONE";
    EXPECT_EQ(scan(image).ignored_objects, (std::map<std::string, int>{{"localizer", 1}}));
}

TEST_F(Enhanced, any_damaged_byte_of_the_groups_gives_sound_slices_or_one_reason) {
    test::write_enhanced(file(), image_of(true));
    const std::string whole = test::read_bytes(file());
    for (std::size_t i = 400; i < whole.size() - 960; i += 3) {
        std::string bytes = whole;
        bytes[i] = static_cast<char>(~bytes[i]);
        test::write_bytes(file(), bytes);
        const FileSet set = scan();
        ASSERT_TRUE(set.slices.size() == 5U || set.slices.size() + set.refused.size() + set.ignored_objects.size() == 1U) << i;
        for (const SliceHeader& slice : set.slices) {
            EXPECT_GT(slice.geometry.row_spacing_mm, 0.0);
            EXPECT_EQ(slice.geometry.rows * slice.geometry.columns * slice.pixels.bits_allocated, 8 * 12 * 16) << i;
        }
    }
}

}  // namespace
}  // namespace perisclera
