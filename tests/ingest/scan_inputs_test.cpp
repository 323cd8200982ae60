// SPDX-License-Identifier: Apache-2.0
// Which files are taken, which are counted and which are refused with which code. The values that make a file bad follow
// PS3.3 C.7.6.2, C.7.6.3 and C.8.2.1; each test writes its own files.
#include "perisclera/ingest/file_set.h"

#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>

#include "tests/support/dicom_slice.h"
#include "tests/support/test_folder.h"

namespace perisclera {
namespace {

using test::DicomSlice;
using test::TagNumber;

constexpr TagNumber pixel_spacing{0x0028, 0x0030}, orientation{0x0020, 0x0037}, position{0x0020, 0x0032}, slope{0x0028, 0x1053}, intercept{0x0028, 0x1052};

class ScanInputs : public ::testing::Test {
protected:
    /// The code with which a single slice is refused, or nothing when it is taken.
    std::optional<ErrorCode> code_of(const DicomSlice& slice) {
        const auto file = folder_.path() / "one.dcm";
        test::write_slice(file, slice);
        const auto set = scan_inputs({file});
        if (!set) return set.error().code;
        if (!set.value().refused.empty()) {
            EXPECT_TRUE(set.value().slices.empty());
            EXPECT_EQ(set.value().refused.front().error.where, "file 1 of 1");
            return set.value().refused.front().error.code;
        }
        EXPECT_EQ(set.value().slices.size(), 1U);
        return std::nullopt;
    }
    std::optional<ErrorCode> code_with(TagNumber tag, const std::string& value) {
        DicomSlice slice;
        slice.text[tag] = value;
        return code_of(slice);
    }
    test::TestFolder folder_;
};

TEST_F(ScanInputs, a_missing_path_is_an_error) {
    const auto set = scan_inputs({folder_.path() / "nothing_here"});
    ASSERT_FALSE(set.ok());
    EXPECT_EQ(set.error().code, ErrorCode::no_images);
    EXPECT_EQ(set.error().where, "input 1 of 1");
}

/// A sound slice with one place of its bytes altered.
class AlteredBytes : public ScanInputs {
protected:
    FileSet scan_with(const std::string& place, std::size_t offset, char value) {
        const auto file = folder_.path() / "one";
        test::write_slice(file, {});
        std::string bytes = test::read_bytes(file);
        const std::size_t at = bytes.find(place);
        EXPECT_NE(at, std::string::npos);
        EXPECT_NE(bytes[at + offset], value);
        bytes[at + offset] = value;
        test::write_bytes(file, bytes);
        auto set = scan_inputs({folder_.path()});
        EXPECT_TRUE(set.ok());
        return std::move(set).value();
    }
    static std::optional<ErrorCode> refusal(const FileSet& set) { return set.refused.empty() ? std::nullopt : std::optional(set.refused.front().error.code); }
};

// Where these stand, and that they are stated twice: PS3.10 7.1.
TEST_F(AlteredBytes, a_damaged_mark_is_told_and_no_other_file_is_taken_for_it) {
    EXPECT_EQ(refusal(scan_with("DICM", 2, 'c')), ErrorCode::bad_value);
    test::write_bytes(folder_.path() / "one", std::string(4000, 'x'));
    EXPECT_EQ(refusal(scan_inputs({folder_.path()}).value()), std::nullopt);
}

TEST_F(AlteredBytes, a_kind_of_object_that_the_meta_group_contradicts_is_refused) {
    const std::string in_meta("\x02\x00\x02\x00UI", 6), in_image("\x08\x00\x16\x00UI", 6);
    EXPECT_EQ(refusal(scan_with(in_meta, 8 + 24, '3')), ErrorCode::conflicting_values);
    EXPECT_EQ(refusal(scan_with(in_image, 8 + 24, '6')), ErrorCode::conflicting_values) << "not passed by as another kind of object";
}

TEST_F(AlteredBytes, an_identifier_that_the_meta_group_contradicts_is_told) {
    const FileSet set = scan_with(std::string("\x02\x00\x03\x00UI", 6), 8 + 6, '7');
    EXPECT_EQ(set.slices.size(), 1U);
    ASSERT_EQ(set.remarks.size(), 1U);
    EXPECT_EQ(set.remarks.front().code, ErrorCode::conflicting_values);
    EXPECT_EQ(set.remarks.front().what, "states two identifiers for one image");
}

TEST_F(AlteredBytes, a_wrong_length_of_the_meta_group_is_told) {
    const FileSet set = scan_with(std::string("\x02\x00\x00\x00UL\x04\x00", 8), 9, '\x01');
    EXPECT_EQ(set.slices.size(), 1U);
    ASSERT_EQ(set.remarks.size(), 1U);
    EXPECT_EQ(set.remarks.front().code, ErrorCode::conflicting_values);
}

TEST_F(AlteredBytes, pixels_above_the_lowest_bits_are_told) {
    const FileSet set = scan_with(std::string("\x28\x00\x01\x01US\x02\x00", 8), 8, '\x0a');  // 10 bits stored, the highest number 11
    EXPECT_EQ(set.slices.size(), 1U);
    ASSERT_EQ(set.remarks.size(), 1U);
    EXPECT_EQ(set.remarks.front().code, ErrorCode::bad_pixel_format);
}

TEST_F(ScanInputs, folders_are_searched_recursively_whatever_the_names) {
    std::filesystem::create_directories(folder_.path() / "a" / "b");
    test::write_slice(folder_.path() / "a" / "b" / "IM0001", {});
    DicomSlice second;
    second.sop_uid = "1.2.3.2";
    test::write_slice(folder_.path() / "picture.txt", second);
    test::write_bytes(folder_.path() / "readme", "notes\n");
    const auto before = test::contents_of(folder_.path());
    const auto set = scan_inputs({folder_.path()});
    ASSERT_TRUE(set.ok());
    EXPECT_EQ(set.value().slices.size(), 2U);
    EXPECT_EQ(set.value().files_looked_at, 3);
    EXPECT_EQ(set.value().not_dicom, 1);
    EXPECT_TRUE(set.value().refused.empty());
    EXPECT_EQ(test::contents_of(folder_.path()), before) << "inputs stay as they are";
}

TEST_F(ScanInputs, a_file_reached_twice_counts_once) {
    test::write_slice(folder_.path() / "one", {});
    const auto set = scan_inputs({folder_.path(), folder_.path() / "one", folder_.path() / "." / "one"});
    ASSERT_TRUE(set.ok());
    EXPECT_EQ(set.value().slices.size(), 1U);
}

TEST_F(ScanInputs, pipes_and_link_loops_are_passed_by) {
    test::write_slice(folder_.path() / "one", {});
    ASSERT_EQ(::mkfifo((folder_.path() / "pipe").c_str(), 0600), 0);
    std::filesystem::create_directory_symlink(folder_.path(), folder_.path() / "loop");
    std::filesystem::create_symlink("selfish", folder_.path() / "selfish");
    const auto set = scan_inputs({folder_.path(), folder_.path() / "pipe"});
    ASSERT_TRUE(set.ok());
    EXPECT_EQ(set.value().slices.size(), 1U);
    EXPECT_GE(set.value().not_files, 3);
}

TEST_F(ScanInputs, an_unreadable_file_is_refused_with_the_system_s_reason) {
    test::write_slice(folder_.path() / "one", {});
    std::filesystem::permissions(folder_.path() / "one", std::filesystem::perms::none);
    std::filesystem::permissions(folder_.path(), std::filesystem::perms::others_read | std::filesystem::perms::others_exec, std::filesystem::perm_options::add);
    // The superuser may read everything, so for a moment the test is nobody.
    const bool superuser = ::geteuid() == 0;
    ASSERT_EQ(superuser ? ::seteuid(65534) : 0, 0);
    const auto set = scan_inputs({folder_.path()});
    ASSERT_EQ(superuser ? ::seteuid(0) : 0, 0);
    ASSERT_TRUE(set.ok());
    ASSERT_EQ(set.value().refused.size(), 1U);
    EXPECT_EQ(set.value().refused.front().error.code, ErrorCode::cannot_read);
}

// common practice, no source
TEST_F(ScanInputs, the_number_of_threads_does_not_change_what_is_found_nor_its_order) {
    test::write_series(folder_.path(), test::series_of(40, {0, 0, 0}, {0, 0, 1}));
    for (const char* name : {"a.dcm", "m.dcm", "z.dcm"}) test::write_bytes(folder_.path() / name, "no image");
    const std::string sound = test::read_bytes(folder_.path() / "CT_0007");
    for (const char* name : {"CT_0002", "CT_0030"}) test::write_bytes(folder_.path() / name, sound.substr(0, sound.size() / 2));
    test::write_bytes(folder_.path() / "CT_0020", "MZ" + sound.substr(2));
    const auto told = [&](int threads) {
        const FileSet set = scan_inputs({folder_.path()}, threads).value();
        std::vector<std::string> lines{std::to_string(set.files_looked_at), std::to_string(set.not_dicom)};
        for (const SliceHeader& slice : set.slices) lines.push_back(slice.sop_instance_uid + " " + slice.where + " " + slice.path.string());
        for (const RefusedFile& refused : set.refused) lines.push_back(refused.error.where + ": " + refused.error.what);
        for (const Error& remark : set.remarks) lines.push_back(remark.where + ": " + remark.what);
        return lines;
    };
    const auto by_one = told(1);
    EXPECT_EQ(by_one.size(), 2U + 38U + 5U + 1U);
    for (const int threads : {2, 8, 100}) EXPECT_EQ(told(threads), by_one) << threads << " threads";
}

TEST_F(ScanInputs, text_that_calls_itself_dicom_and_empty_files_are_refused) {
    test::write_bytes(folder_.path() / "letter.dcm", "Dear colleague,\n");
    test::write_bytes(folder_.path() / "IM0007", "");
    const auto set = scan_inputs({folder_.path()});
    ASSERT_TRUE(set.ok());
    ASSERT_EQ(set.value().refused.size(), 2U);
    for (const auto& refused : set.value().refused) EXPECT_EQ(refused.error.code, ErrorCode::not_dicom);
}

TEST_F(ScanInputs, a_sound_slice_is_read_as_written) {
    DicomSlice slice;
    slice.position = {-10.5, 20.25, 1e-2};
    slice.orientation = {0.0, 1.0, 0.0, 0.0, 0.0, -1.0};
    const auto file = folder_.path() / "one";
    test::write_slice(file, slice);
    const auto set = scan_inputs({file});
    ASSERT_TRUE(set.ok());
    ASSERT_EQ(set.value().slices.size(), 1U);
    const SliceHeader& header = set.value().slices.front();
    EXPECT_EQ(header.modality, Modality::ct);
    EXPECT_EQ(header.geometry.position, (PatientPoint{-10.5, 20.25, 0.01}));
    EXPECT_EQ(header.geometry.row, (PatientVector{0, 1, 0}));
    EXPECT_EQ(header.geometry.column, (PatientVector{0, 0, -1}));
    EXPECT_EQ(header.geometry.row_spacing_mm, 0.5) << "PS3.3 10.7.1.3: spacing between rows comes first";
    EXPECT_EQ(header.geometry.column_spacing_mm, 0.25);
    EXPECT_EQ(header.geometry.rows, 8);
    EXPECT_EQ(header.geometry.columns, 12);
    EXPECT_EQ(header.acquisition.kvp, 120.0);
    EXPECT_EQ(header.series_uid, "1.2.3");
    EXPECT_EQ(header.study_date, "20200131");
}

TEST_F(ScanInputs, no_spacing_is_ever_invented) {
    for (const char* value : {"0\\0", "0.5\\0", "-0.5\\-0.5", "nan\\nan", "abc", "", "0.5", "0,5\\0,5", "1e308\\1e308", "0.5\\0.5\\0.5"})
        EXPECT_EQ(code_with(pixel_spacing, value), ErrorCode::bad_spacing) << value;
    DicomSlice without;
    without.absent = {pixel_spacing};
    EXPECT_EQ(code_of(without), ErrorCode::bad_spacing);
}

TEST_F(ScanInputs, no_orientation_is_ever_invented) {
    for (const char* value : {"", "1\\0\\0\\0\\1", "0\\0\\0\\0\\0\\0", "1\\0\\0\\1\\0\\0", "2\\0\\0\\0\\1\\0", "nan\\0\\0\\0\\1\\0", "1\\0\\0\\0.1\\1\\0"})
        EXPECT_EQ(code_with(orientation, value), ErrorCode::bad_orientation) << value;
}

TEST_F(ScanInputs, no_position_is_ever_invented) {
    std::string endless = "0";
    for (int i = 1; i < 2000; ++i) endless += "\\0";
    for (const std::string& value : {std::string(), std::string("1\\2"), std::string("nan\\0\\0"), std::string("0\\0\\1e30"), endless})
        EXPECT_EQ(code_with(position, value), ErrorCode::bad_position) << value.substr(0, 20);
}

TEST_F(ScanInputs, a_ct_without_hounsfield_scale_is_refused) {
    for (const TagNumber& tag : {slope, intercept}) {
        DicomSlice slice;
        slice.absent = {tag};
        EXPECT_EQ(code_of(slice), ErrorCode::no_hounsfield);
    }
    for (const char* value : {"0", "nan", "one", ""}) EXPECT_EQ(code_with(slope, value), ErrorCode::no_hounsfield) << value;
    EXPECT_EQ(code_with({0x0028, 0x1054}, "OD"), ErrorCode::no_hounsfield) << "optical density is no CT number";
}

TEST_F(ScanInputs, an_mr_needs_no_rescale_but_a_stated_one_must_be_sound) {
    DicomSlice slice;
    slice.modality = "MR";
    EXPECT_FALSE(code_of(slice).has_value());
    slice.text[slope] = "0";
    slice.text[intercept] = "0";
    EXPECT_EQ(code_of(slice), ErrorCode::bad_value);
}

TEST_F(ScanInputs, trailing_bytes_and_conflicting_values_are_refused) {
    const auto file = folder_.path() / "one";
    test::write_slice(file, {});
    const std::string whole = test::read_bytes(file);
    const auto code = [&](const std::string& bytes) {
        test::write_bytes(file, bytes);
        const auto set = scan_inputs({file});
        return set.ok() && set.value().refused.size() == 1U ? std::optional(set.value().refused.front().error.code) : std::nullopt;
    };
    EXPECT_FALSE(code(whole).has_value());
    EXPECT_EQ(code(whole + "garbage"), ErrorCode::trailing_bytes);
    // A second, different PixelSpacing before the pixels.
    const std::string pixels("\xe0\x7f\x10\x00OW", 6), spacing("\x28\x00\x30\x00" "DS\x08\x00" "0.5\\0.75", 16);
    ASSERT_NE(whole.find(pixels), std::string::npos);
    EXPECT_EQ(code(std::string(whole).insert(whole.find(pixels), spacing)), ErrorCode::conflicting_values);
}

TEST_F(ScanInputs, a_localizer_needs_no_scale_and_is_counted) {
    DicomSlice slice;
    slice.text[{0x0008, 0x0008}] = "ORIGINAL\\PRIMARY\\LOCALIZER";
    slice.absent = {slope};
    test::write_slice(folder_.path() / "scout", slice);
    const auto set = scan_inputs({folder_.path()});
    ASSERT_TRUE(set.ok());
    EXPECT_TRUE(set.value().refused.empty());
    EXPECT_EQ(set.value().ignored_objects.size(), 1U);
}

TEST_F(ScanInputs, sizes_that_do_not_fit_the_pixels_are_refused) {
    constexpr TagNumber rows{0x0028, 0x0010}, columns{0x0028, 0x0011};
    const auto with = [&](TagNumber tag, unsigned short value) {
        DicomSlice slice;
        slice.numbers[tag] = value;
        return code_of(slice);
    };
    EXPECT_EQ(with(rows, 0), ErrorCode::bad_size);
    EXPECT_EQ(with(columns, 65535), ErrorCode::bad_size);
    EXPECT_EQ(with(rows, 9), ErrorCode::pixels_short);
    EXPECT_EQ(with(rows, 7), ErrorCode::bad_size) << "more pixels than stated";
}

TEST_F(ScanInputs, pixel_formats_that_contradict_themselves_are_refused) {
    const std::vector<std::pair<TagNumber, unsigned short>> wrong{{{0x0028, 0x0100}, 0},  {{0x0028, 0x0100}, 12}, {{0x0028, 0x0100}, 52}, {{0x0028, 0x0101}, 17},
                                                                  {{0x0028, 0x0102}, 16}, {{0x0028, 0x0102}, 3},  {{0x0028, 0x0002}, 0},  {{0x0028, 0x0103}, 2}};
    for (const auto& [tag, value] : wrong) {
        DicomSlice slice;
        slice.numbers[tag] = value;
        EXPECT_EQ(code_of(slice), ErrorCode::bad_pixel_format) << std::hex << tag.second << ' ' << value;
    }
}

TEST_F(ScanInputs, pixels_that_end_early_are_refused_with_both_lengths) {
    const auto file = folder_.path() / "one";
    test::write_slice(file, {});
    const std::string whole = test::read_bytes(file);
    test::write_bytes(file, whole.substr(0, whole.size() - 10));
    const auto set = scan_inputs({folder_.path()});
    ASSERT_TRUE(set.ok());
    ASSERT_EQ(set.value().refused.size(), 1U);
    EXPECT_EQ(set.value().refused.front().error.code, ErrorCode::pixels_short);
    EXPECT_NE(set.value().refused.front().error.what.find("192 bytes expected, 182 found"), std::string::npos);  // 8 x 12 x 2
    EXPECT_EQ(set.value().refused.front().series_uid, "1.2.3");
}

TEST_F(ScanInputs, identifiers_must_be_identifiers) {
    for (const char* value : {"../../x", "..", "/etc", "", "1..2"}) EXPECT_EQ(code_with({0x0020, 0x000E}, value), ErrorCode::bad_uid) << value;
    EXPECT_EQ(code_with({0x0008, 0x0018}, std::string(200, '1')), ErrorCode::bad_uid);
}

TEST_F(ScanInputs, a_classic_image_has_one_frame) {
    for (const char* value : {"-1", "0", "two", "2"}) EXPECT_EQ(code_with({0x0028, 0x0008}, value), ErrorCode::bad_size) << value;
    EXPECT_FALSE(code_with({0x0028, 0x0008}, "1").has_value());
}

TEST_F(ScanInputs, other_objects_are_counted_by_kind) {
    DicomSlice slice;
    slice.text[{0x0008, 0x0016}] = "1.2.840.10008.5.1.4.1.1.88.11";
    test::write_slice(folder_.path() / "a", slice);
    slice.text[{0x0008, 0x0016}] = "1.2.840.10008.5.1.4.1.1.7";
    test::write_slice(folder_.path() / "b", slice);
    const auto set = scan_inputs({folder_.path()});
    ASSERT_TRUE(set.ok());
    EXPECT_TRUE(set.value().slices.empty());
    EXPECT_TRUE(set.value().refused.empty());
    EXPECT_EQ(set.value().ignored_objects, (std::map<std::string, int>{{"structured report", 1}, {"secondary capture", 1}}));
}

TEST_F(ScanInputs, compressions_that_are_not_read_are_refused_by_name) {
    const auto file = folder_.path() / "one";
    DicomSlice slice;
    slice.compression = test::Compression::jpeg_ls;
    test::write_slice(file, slice);
    const std::string whole = test::read_bytes(file), jpeg_ls = "1.2.840.10008.1.2.4.80";
    const std::vector<std::pair<std::string, std::string>> refused{{"1.2.840.10008.1.2.4.92", "JPEG 2000 part 2"},
                                                                   {std::string("1.2.840.10008.1.2.4.201\0", 24), "high-throughput JPEG 2000"},
                                                                   {std::string("1.2.840.10008.1.2.4.203\0", 24), "high-throughput JPEG 2000"}};
    for (const auto& [uid, words] : refused) {
        std::string bytes = whole;
        const std::size_t at = bytes.find(jpeg_ls);
        bytes.replace(at, jpeg_ls.size(), uid);
        bytes[at - 2] = static_cast<char>(uid.size());  // the element's length
        test::write_bytes(file, bytes);
        const auto set = scan_inputs({folder_.path()});
        ASSERT_TRUE(set.ok());
        ASSERT_EQ(set.value().refused.size(), 1U);
        EXPECT_EQ(set.value().refused.front().error.code, ErrorCode::unsupported_encoding);
        EXPECT_NE(set.value().refused.front().error.what.find(words), std::string::npos);
    }
}

TEST_F(ScanInputs, deflated_data_that_grow_too_large_end_early_or_make_no_sense_are_refused) {
    const auto file = folder_.path() / "one";
    DicomSlice slice;
    slice.compression = test::Compression::deflated;
    const auto code = [&](const std::string& bytes) -> std::optional<ErrorCode> {
        test::write_bytes(file, bytes);
        const auto set = scan_inputs({file});
        EXPECT_TRUE(set.ok());
        EXPECT_EQ(set.value().slices.size() + set.value().refused.size(), 1U);
        return set.value().refused.empty() ? std::nullopt : std::optional(set.value().refused.front().error.code);
    };
    test::write_slice(file, slice);
    const std::string whole = test::read_bytes(file);
    EXPECT_FALSE(code(whole).has_value());
    EXPECT_EQ(code(whole.substr(0, whole.size() - 40)), ErrorCode::truncated);
    EXPECT_EQ(code(whole + "more"), ErrorCode::trailing_bytes);
    EXPECT_EQ(code(whole + "8 bytes."), ErrorCode::trailing_bytes);
    // A sample of Debian's python3-pydicom ends in gzip's checksum and length.
    const auto sample = test::read_bytes("/usr/lib/python3/dist-packages/pydicom/data/test_files/image_dfl.dcm");
    test::write_bytes(file, sample);
    const auto gzipped = scan_inputs({file});
    ASSERT_TRUE(gzipped.ok());
    EXPECT_EQ(gzipped.value().ignored_objects, (std::map<std::string, int>{{"secondary capture", 1}})) << "no CT or MR, but sound";
    EXPECT_EQ(code(sample.substr(0, sample.size() - 1) + "x"), ErrorCode::trailing_bytes);
    std::string damaged = whole;
    std::fill(damaged.end() - 200, damaged.end(), '\xff');
    const auto damage = code(damaged);
    EXPECT_TRUE(damage == ErrorCode::decode_failed || damage == ErrorCode::truncated || damage == ErrorCode::trailing_bytes);

    slice.rows = slice.columns = 4096;  // 32 MiB of zeros in a few kilobytes
    slice.stored.assign(4096U * 4096U, 0);
    test::write_slice(file, slice);
    const std::string bomb = test::read_bytes(file);
    ASSERT_LT(bomb.size(), 200'000U);
    EXPECT_EQ(code(bomb), ErrorCode::inflates_too_large);
}

TEST_F(ScanInputs, no_message_quotes_the_patient_or_the_file_name) {
    DicomSlice slice;
    slice.text = {{{0x0010, 0x0010}, "PLANTED^NAME"}, {{0x0010, 0x0020}, "PLANTEDID"}, {pixel_spacing, "PLANTED"}, {{0x0008, 0x103E}, "PLANTED"}};
    test::write_slice(folder_.path() / "PLANTED.dcm", slice);
    const auto set = scan_inputs({folder_.path()});
    ASSERT_TRUE(set.ok());
    ASSERT_EQ(set.value().refused.size(), 1U);
    EXPECT_EQ(one_line(set.value().refused.front().error).find("PLANTED"), std::string::npos);
}

TEST_F(ScanInputs, an_image_with_an_odd_preamble_is_read_and_told) {
    const auto file = folder_.path() / "one";
    test::write_slice(file, {});
    std::string bytes = test::read_bytes(file);
    bytes.replace(0, 10, "#!/bin/sh\n");
    test::write_bytes(file, bytes);
    const auto set = scan_inputs({folder_.path()});
    ASSERT_TRUE(set.ok());
    EXPECT_EQ(set.value().slices.size(), 1U);
    ASSERT_EQ(set.value().remarks.size(), 1U);
    EXPECT_EQ(set.value().remarks.front().code, ErrorCode::suspicious_preamble);
    EXPECT_EQ(set.value().remarks.front().where, "file 1 of 1");
    EXPECT_EQ(exit_status(ErrorCode::suspicious_preamble), 0);
}

TEST_F(ScanInputs, any_flipped_byte_of_a_header_gives_a_sound_slice_or_a_reason) {
    const auto file = folder_.path() / "one.dcm";
    test::write_slice(file, {});
    const std::string whole = test::read_bytes(file);
    const std::size_t header_bytes = whole.size() - 8 * 12 * 2;
    for (std::size_t i = 128; i < header_bytes; ++i) {
        std::string bytes = whole;
        bytes[i] = static_cast<char>(~bytes[i]);
        test::write_bytes(file, bytes);
        const auto set = scan_inputs({file});
        ASSERT_TRUE(set.ok());
        const std::size_t told = set.value().slices.size() + set.value().refused.size() + set.value().ignored_objects.size();
        ASSERT_EQ(told, 1U) << "byte " << i;
        for (const SliceHeader& slice : set.value().slices) {
            EXPECT_GT(slice.geometry.row_spacing_mm, 0.0);
            EXPECT_GT(slice.geometry.column_spacing_mm, 0.0);
            // The pixels in the file are 8 x 12 whatever the header has become.
            EXPECT_EQ(slice.geometry.rows * slice.geometry.columns * slice.pixels.bits_allocated, 8 * 12 * 16) << "byte " << i;
        }
    }
}

}  // namespace
}  // namespace perisclera
