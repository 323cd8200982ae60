// SPDX-License-Identifier: Apache-2.0
// Pixels in every encoding that is read, against the values that were written (encoded by DCMTK, or by GDCM with openjpeg), against
// what GDCM decodes where compression has altered them, and damaged streams.
#include "perisclera/ingest/read_pixels.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "perisclera/ingest/file_set.h"
#include "tests/support/dicom_slice.h"
#include "tests/support/outside_tools.h"
#include "tests/support/test_folder.h"

namespace perisclera {
namespace {

using test::Compression;
using test::DicomSlice;

class ReadPixels : public ::testing::Test {
protected:
    SliceHeader header_of(const DicomSlice& slice) {
        test::write_slice(file(), slice);
        return header_of_file();
    }
    SliceHeader header_of_file() {
        const auto set = scan_inputs({file()});
        EXPECT_TRUE(set.ok());
        EXPECT_EQ(set.value().slices.size(), 1U) << (set.value().refused.empty() ? "" : one_line(set.value().refused.front().error));
        return set.value().slices.at(0);
    }
    std::filesystem::path file() const { return folder_.path() / "slice"; }
    test::TestFolder folder_;
};

/// A picture with smooth and rough parts that uses all 12 bits.
std::vector<std::int32_t> picture(int rows, int columns) {
    std::vector<std::int32_t> values;
    for (int y = 0; y < rows; ++y)
        for (int x = 0; x < columns; ++x) values.push_back(x < columns / 2 ? (x * 50 + y) % 4096 : (x * 2654435761U + static_cast<unsigned>(y) * 40503U) >> 7 & 0xFFF);
    return values;
}

std::vector<float> hounsfield(const std::vector<std::int32_t>& stored) {
    std::vector<float> values;
    for (const auto value : stored) values.push_back(static_cast<float>(value - 1024));
    return values;
}

class Encodings : public ReadPixels, public ::testing::WithParamInterface<Compression> {};

TEST_P(Encodings, give_the_values_that_were_written) {
    DicomSlice slice;
    slice.rows = 40;
    slice.columns = 52;
    slice.stored = picture(slice.rows, slice.columns);
    slice.compression = GetParam();
    const auto pixels = read_pixels(header_of(slice));
    ASSERT_TRUE(pixels.ok()) << one_line(pixels.error());
    EXPECT_EQ(pixels.value(), hounsfield(slice.stored));
}

INSTANTIATE_TEST_SUITE_P(lossless, Encodings,
                         ::testing::Values(Compression::implicit_little, Compression::explicit_little, Compression::explicit_big, Compression::deflated, Compression::rle,
                                           Compression::jpeg_lossless_57, Compression::jpeg_lossless_70, Compression::jpeg_ls));

TEST_F(ReadPixels, lossless_jpeg_2000_gives_the_values_that_were_written) {
    DicomSlice slice;
    slice.rows = 40;
    slice.columns = 52;
    slice.stored = picture(slice.rows, slice.columns);
    for (const bool is_signed : {false, true}) {
        slice.is_signed = is_signed;
        if (is_signed)
            for (auto& value : slice.stored) value -= 2048;
        test::write_slice(file(), slice);
        test::recode_with_gdcm(file(), {"--j2k"});
        const SliceHeader header = header_of_file();
        EXPECT_EQ(header.layout.transfer_syntax_uid, "1.2.840.10008.1.2.4.90");
        EXPECT_FALSE(header.lossy);
        const auto pixels = read_pixels(header);
        ASSERT_TRUE(pixels.ok()) << one_line(pixels.error());
        EXPECT_EQ(pixels.value(), hounsfield(slice.stored));
    }
}

TEST_F(ReadPixels, a_codestream_whose_sign_contradicts_the_header_is_refused) {
    test::write_slice(file(), {});
    test::recode_with_gdcm(file(), {"--j2k"});
    std::string bytes = test::read_bytes(file());
    const std::string sign("\x28\x00\x03\x01US\x02\x00\x00\x00", 10);
    ASSERT_NE(bytes.find(sign), std::string::npos);
    bytes[bytes.find(sign) + 8] = 1;
    test::write_bytes(file(), bytes);
    const auto pixels = read_pixels(header_of_file());
    ASSERT_FALSE(pixels.ok());
    EXPECT_EQ(pixels.error().code, ErrorCode::decode_failed);
}

TEST_F(ReadPixels, lossy_compression_is_marked_and_gives_what_another_reader_decodes) {
    DicomSlice smooth;
    smooth.rows = 64;
    smooth.columns = 80;
    for (int y = 0; y < smooth.rows; ++y)
        for (int x = 0; x < smooth.columns; ++x) smooth.stored.push_back(1000 + 10 * x + static_cast<int>(300 * std::sin(0.2 * y)));
    DicomSlice eight_bits = smooth;
    eight_bits.bits_allocated = eight_bits.bits_stored = 8;
    for (auto& value : eight_bits.stored) value /= 16;
    eight_bits.compression = Compression::jpeg_baseline;
    DicomSlice twelve_bits = smooth;
    twelve_bits.compression = Compression::jpeg_extended;
    // What the encoder is told to keep, in steps of the stored values; common practice, no source.
    const auto expect_as_second_reader = [&](const DicomSlice& written, const std::string& uid, float kept_within) {
        const SliceHeader header = header_of_file();
        EXPECT_EQ(header.layout.transfer_syntax_uid, uid);
        EXPECT_TRUE(header.lossy);
        const auto pixels = read_pixels(header);
        ASSERT_TRUE(pixels.ok()) << one_line(pixels.error());
        EXPECT_EQ(pixels.value(), test::values_by_gdcm(file()));
        const auto before = hounsfield(written.stored);
        for (std::size_t i = 0; i < before.size(); ++i) ASSERT_NEAR(pixels.value()[i], before[i], kept_within) << i;
    };
    test::write_slice(file(), eight_bits);
    expect_as_second_reader(eight_bits, "1.2.840.10008.1.2.4.50", 6.0F);
    test::write_slice(file(), twelve_bits);
    expect_as_second_reader(twelve_bits, "1.2.840.10008.1.2.4.51", 60.0F);
    test::write_slice(file(), smooth);
    test::recode_with_gdcm(file(), {"--lossy", "--j2k", "-r", "12"});
    expect_as_second_reader(smooth, "1.2.840.10008.1.2.4.91", 60.0F);
}

TEST_F(ReadPixels, one_image_in_other_programs_encodings_is_one_image) {
    // Samples of Debian's python3-pydicom: one MR slice, encoded by several programs.
    const std::filesystem::path samples = "/usr/lib/python3/dist-packages/pydicom/data/test_files";
    std::vector<float> first;
    for (const char* name : {"MR_small.dcm", "MR_small_bigendian.dcm", "MR_small_implicit.dcm", "MR_small_RLE.dcm", "MR_small_jp2klossless.dcm", "MR_small_jpeg_ls_lossless.dcm"}) {
        const auto set = scan_inputs({samples / name});
        ASSERT_TRUE(set.ok()) << name;
        ASSERT_EQ(set.value().slices.size(), 1U) << name << (set.value().refused.empty() ? "" : one_line(set.value().refused.front().error));
        const auto pixels = read_pixels(set.value().slices.front());
        ASSERT_TRUE(pixels.ok()) << name << one_line(pixels.error());
        if (first.empty()) first = pixels.value();
        EXPECT_EQ(pixels.value(), first) << name;
    }
    EXPECT_EQ(first.size(), 64U * 64U);
}

TEST_F(ReadPixels, near_lossless_jpeg_ls_is_marked_lossy_and_stays_within_its_bound) {
    DicomSlice slice;
    slice.rows = 40;
    slice.columns = 52;
    slice.stored = picture(slice.rows, slice.columns);
    slice.compression = Compression::jpeg_ls_near;  // largest deviation 2
    const SliceHeader header = header_of(slice);
    EXPECT_TRUE(header.lossy);
    const auto pixels = read_pixels(header);
    ASSERT_TRUE(pixels.ok()) << one_line(pixels.error());
    const auto expected = hounsfield(slice.stored);
    for (std::size_t i = 0; i < expected.size(); ++i) EXPECT_LE(std::abs(pixels.value()[i] - expected[i]), 2.0F);
}

TEST_F(ReadPixels, negative_stored_values_keep_their_sign) {
    DicomSlice slice;
    slice.is_signed = true;
    slice.text[{0x0028, 0x1052}] = "0";
    slice.stored = test::ramp(96);
    for (auto& value : slice.stored) value -= 150;
    slice.stored[0] = -2048;
    slice.stored[1] = 2047;
    for (const Compression compression : {Compression::explicit_little, Compression::explicit_big, Compression::rle, Compression::jpeg_lossless_70}) {
        slice.compression = compression;
        const auto pixels = read_pixels(header_of(slice));
        ASSERT_TRUE(pixels.ok());
        for (std::size_t i = 0; i < pixels.value().size(); ++i) EXPECT_EQ(pixels.value()[i], static_cast<float>(slice.stored[i]));
    }
}

TEST_F(ReadPixels, slope_and_intercept_are_applied) {
    DicomSlice slice;
    slice.text = {{{0x0028, 0x1052}, "-10.5"}, {{0x0028, 0x1053}, "0.25"}};
    const auto pixels = read_pixels(header_of(slice));
    ASSERT_TRUE(pixels.ok());
    EXPECT_FLOAT_EQ(pixels.value()[4], 104 * 0.25F - 10.5F);  // PS3.3 C.11.1.1.2: output = slope x stored + intercept
}

TEST_F(ReadPixels, bits_beyond_the_stored_ones_are_ignored) {
    DicomSlice slice;
    slice.stored = test::ramp(96);
    test::write_slice(file(), slice);
    std::string bytes = test::read_bytes(file());
    const std::size_t start = bytes.size() - 96 * 2;
    for (std::size_t i = start + 1; i < bytes.size(); i += 2) bytes[i] = static_cast<char>(bytes[i] | 0x50);  // an overlay in bits 12 and 14
    test::write_bytes(file(), bytes);
    const auto pixels = read_pixels(header_of_file());
    ASSERT_TRUE(pixels.ok());
    EXPECT_EQ(pixels.value(), hounsfield(slice.stored));
}

TEST_F(ReadPixels, padding_of_a_ct_becomes_air_and_of_an_mr_stays) {
    DicomSlice slice;
    slice.numbers[{0x0028, 0x0120}] = 103;
    auto pixels = read_pixels(header_of(slice));
    ASSERT_TRUE(pixels.ok());
    EXPECT_EQ(pixels.value()[3], -1024.0F);
    EXPECT_EQ(pixels.value()[2], 102.0F - 1024.0F);
    slice.numbers[{0x0028, 0x0121}] = 101;
    pixels = read_pixels(header_of(slice));
    ASSERT_TRUE(pixels.ok());
    EXPECT_EQ(pixels.value()[1], -1024.0F) << "the range from 101 to 103 is padding (PS3.3 C.7.5.1.1.2)";
    EXPECT_EQ(pixels.value()[0], 100.0F - 1024.0F);
    slice.modality = "MR";
    pixels = read_pixels(header_of(slice));
    ASSERT_TRUE(pixels.ok());
    EXPECT_EQ(pixels.value()[3], 103.0F);
}

TEST_F(ReadPixels, damaged_streams_are_refused_and_the_process_lives) {
    DicomSlice slice;
    slice.rows = 40;
    slice.columns = 52;
    slice.stored = picture(slice.rows, slice.columns);
    // The last one stands for JPEG 2000, which the slice's own encoder does not write.
    for (const Compression compression : {Compression::rle, Compression::jpeg_extended, Compression::jpeg_lossless_70, Compression::jpeg_ls, Compression::explicit_little}) {
        slice.compression = compression;
        test::write_slice(file(), slice);
        if (compression == Compression::explicit_little) test::recode_with_gdcm(file(), {"--j2k"});
        SliceHeader header = header_of_file();
        const std::string whole = test::read_bytes(file());
        // The compressed stream without its beginning: no decoder can make sense of it.
        std::string bytes = whole;
        const std::size_t fragment = static_cast<std::size_t>(header.layout.pixel_offset) + 16;
        std::fill(bytes.begin() + static_cast<std::ptrdiff_t>(fragment), bytes.end() - 8, '\x7f');
        test::write_bytes(file(), bytes);
        header.stamp = stamp_of(file()).value();  // as if it had been read after the damage
        const auto pixels = read_pixels(header);
        ASSERT_FALSE(pixels.ok());
        EXPECT_EQ(pixels.error().code, ErrorCode::decode_failed);
        EXPECT_EQ(pixels.error().where, "file 1 of 1");
    }
}

TEST_F(ReadPixels, any_flipped_byte_of_a_stream_gives_pixels_or_an_error) {
    DicomSlice slice;
    slice.stored = picture(slice.rows, slice.columns);
    for (const Compression compression : {Compression::rle, Compression::jpeg_extended, Compression::jpeg_ls, Compression::explicit_little}) {
        slice.compression = compression;
        test::write_slice(file(), slice);
        if (compression == Compression::explicit_little) test::recode_with_gdcm(file(), {"--j2k"});
        SliceHeader header = header_of_file();
        const std::string whole = test::read_bytes(file());
        for (std::size_t i = static_cast<std::size_t>(header.layout.pixel_offset); i < whole.size(); i += 7) {
            std::string bytes = whole;
            bytes[i] = static_cast<char>(~bytes[i]);
            test::write_bytes(file(), bytes);
            header.stamp = stamp_of(file()).value();  // as if it had been read after the damage
            const auto pixels = read_pixels(header);
            if (pixels)
                EXPECT_EQ(pixels.value().size(), 96U);
            else
                EXPECT_EQ(pixels.error().code, ErrorCode::decode_failed);
        }
    }
}

TEST_F(ReadPixels, an_image_that_decodes_to_another_size_is_refused) {
    DicomSlice slice;
    slice.compression = Compression::jpeg_ls;
    slice.numbers[{0x0028, 0x0010}] = 16;  // the stream holds 8 rows
    const auto pixels = read_pixels(header_of(slice));
    ASSERT_FALSE(pixels.ok());
    EXPECT_EQ(pixels.error().code, ErrorCode::decode_failed);
}

TEST_F(ReadPixels, a_file_that_changes_after_the_scan_is_refused) {
    const SliceHeader header = header_of({});
    test::write_bytes(file(), test::read_bytes(file()) + "xx");
    const auto grown = read_pixels(header);
    ASSERT_FALSE(grown.ok());
    EXPECT_EQ(grown.error().code, ErrorCode::changed_while_reading);
    std::filesystem::remove(file());
    const auto gone = read_pixels(header);
    ASSERT_FALSE(gone.ok());
    EXPECT_EQ(gone.error().code, ErrorCode::cannot_read);
}

TEST_F(ReadPixels, one_bad_slice_among_many_is_named_and_threads_do_not_matter) {
    auto slices = test::series_of(90, {0, 0, 0}, {0, 0, 1});
    for (std::size_t i = 0; i < slices.size(); ++i)
        if (i % 2 == 0) slices[i].compression = Compression::rle;
    test::write_series(folder_.path(), slices);
    const auto set = scan_inputs({folder_.path()});
    ASSERT_TRUE(set.ok());
    ASSERT_EQ(set.value().slices.size(), 90U);
    std::vector<float> one(90U * 96U), three(90U * 96U);
    ASSERT_TRUE(read_stack(set.value().slices, one, 1).ok());
    ASSERT_TRUE(read_stack(set.value().slices, three, 3).ok());
    EXPECT_EQ(one, three);
    for (std::size_t i = 0; i < 90; ++i) {
        const std::string& uid = set.value().slices[i].sop_instance_uid;
        const int place = std::stoi(uid.substr(uid.rfind('.') + 1)) - 1;
        EXPECT_EQ(one[i * 96], static_cast<float>(100 + place - 1024)) << "slices stay in the order given";
    }

    const auto damaged = std::find_if(set.value().slices.begin(), set.value().slices.end(), [](const SliceHeader& s) { return s.layout.encoding == Encoding::encapsulated; });
    std::string bytes = test::read_bytes(damaged->path);
    std::fill(bytes.begin() + static_cast<std::ptrdiff_t>(damaged->layout.pixel_offset) + 16, bytes.end() - 8, '\x7f');
    test::write_bytes(damaged->path, bytes);
    auto with_damaged = set.value().slices;
    with_damaged[static_cast<std::size_t>(damaged - set.value().slices.begin())].stamp = stamp_of(damaged->path).value();
    const auto refused = read_stack(with_damaged, one, 2);
    ASSERT_FALSE(refused.ok());
    EXPECT_EQ(refused.error().code, ErrorCode::decode_failed);
    EXPECT_EQ(refused.error().where, damaged->where);
}

}  // namespace
}  // namespace perisclera
