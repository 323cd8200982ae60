// SPDX-License-Identifier: Apache-2.0
// Files built byte by byte after PS3.5 chapter 7 and PS3.10 7.1, each with one fault.
#include "perisclera/ingest/preflight.h"

#include <gtest/gtest.h>

#include "perisclera/core/limits.h"
#include "tests/support/dicom_slice.h"
#include "tests/support/element_bytes.h"
#include "tests/support/test_folder.h"

namespace perisclera {
namespace {

using test::item, test::item_end, test::little, test::long_header, test::sequence_end, test::short_element, test::tag, test::undefined_length;

std::string file_with(const std::string& dataset, std::string syntax = "1.2.840.10008.1.2.1") {
    if (syntax.size() % 2 != 0) syntax += '\0';
    return std::string(128, '\0') + "DICM" + short_element(2, 0x10, "UI", syntax) + dataset;
}

const std::string sound = short_element(8, 0x60, "CS", "CT") + short_element(0x10, 0x20, "LO", "CASE") + long_header(0x7FE0, 0x10, "OW", 8) + "abcdefgh";

class Preflight : public ::testing::Test {
protected:
    Result<FileLayout> check(const std::string& bytes) {
        test::write_bytes(folder_.path() / "file", bytes);
        return preflight(folder_.path() / "file", "file 1 of 1");
    }
    /// The code, or nothing when the file passes.
    std::optional<ErrorCode> code(const std::string& bytes) {
        const auto layout = check(bytes);
        return layout ? std::nullopt : std::optional(layout.error().code);
    }
    test::TestFolder folder_;
};

TEST_F(Preflight, a_sound_file_tells_where_its_pixels_lie) {
    const std::string bytes = file_with(sound);
    const auto layout = check(bytes);
    ASSERT_TRUE(layout.ok()) << one_line(layout.error());
    EXPECT_EQ(layout.value().encoding, Encoding::explicit_little);
    EXPECT_EQ(layout.value().pixel_offset, bytes.find("abcdefgh"));
    EXPECT_EQ(layout.value().pixel_bytes, 8U);
}

TEST_F(Preflight, what_is_not_dicom_says_so) {
    for (const std::string& bytes : {std::string(), std::string(100, '\0'), std::string("Dear colleague,\n"), std::string(4000, 'x')})
        EXPECT_EQ(code(bytes), ErrorCode::not_dicom);
}

TEST_F(Preflight, a_header_cut_anywhere_is_refused) {
    const std::string whole = file_with(short_element(8, 0x60, "CS", "CT") + short_element(0x10, 0x20, "LO", "CASE") +
                                        long_header(0x7FE0, 0x10, "OB", undefined_length) + item + little(0, 4) + item + little(4, 4) + "abcd" + sequence_end,
                                    "1.2.840.10008.1.2.5");
    ASSERT_FALSE(code(whole).has_value());
    const std::size_t pixels = whole.find(tag(0x7FE0, 0x10));
    for (std::size_t length = pixels + 1; length < whole.size(); ++length) EXPECT_EQ(code(whole.substr(0, length)), ErrorCode::truncated) << length;
}

TEST_F(Preflight, a_length_beyond_the_file_is_refused) {
    for (const unsigned long length : {0xFFFFFFFEUL, 0x7FFFFFFFUL, 0x40000000UL})
        EXPECT_EQ(code(file_with(long_header(0x0009, 0x1001, "OB", length) + sound)), ErrorCode::length_beyond_file);
}

TEST_F(Preflight, sixty_four_nested_sequences_pass_and_more_are_refused) {
    const auto nested = [](int depth, bool implicit) {
        std::string inside;
        for (int i = 0; i < depth; ++i) inside += (implicit ? tag(8, 0x1140) + little(undefined_length, 4) : long_header(8, 0x1140, "SQ", undefined_length)) + item + little(undefined_length, 4);
        for (int i = 0; i < depth; ++i) inside += item_end + sequence_end;
        return inside;
    };
    EXPECT_FALSE(code(file_with(nested(64, false) + sound)).has_value());
    EXPECT_FALSE(code(file_with(nested(64, true), "1.2.840.10008.1.2")).has_value());
    for (const int depth : {65, 4000, 100000}) {
        EXPECT_EQ(code(file_with(nested(depth, false) + sound)), ErrorCode::nested_too_deep) << depth;
        EXPECT_EQ(code(file_with(nested(depth, true), "1.2.840.10008.1.2")), ErrorCode::nested_too_deep) << depth;
    }
}

TEST_F(Preflight, nesting_with_stated_lengths_counts_the_same) {
    std::string inside;
    for (int i = 0; i < 65; ++i) {
        inside = item + little(inside.size(), 4) + inside;
        inside = tag(8, 0x1140) + little(inside.size(), 4) + inside;
    }
    EXPECT_EQ(code(file_with(inside, "1.2.840.10008.1.2")), ErrorCode::nested_too_deep);
}

TEST_F(Preflight, an_unknown_sequence_is_scanned_as_implicit_inside) {
    const std::string inside = long_header(9, 0x1002, "UN", undefined_length) + item + little(undefined_length, 4) + tag(8, 0x100) + little(4, 4) + "CODE" + item_end + sequence_end;
    EXPECT_FALSE(code(file_with(inside + sound)).has_value());
}

TEST_F(Preflight, too_many_elements_are_refused) {
    std::string many;
    for (std::uint64_t i = 0; i <= limits::elements_per_file; ++i) many += short_element(9, 0x1000, "CS", "");
    EXPECT_EQ(code(file_with(many + sound)), ErrorCode::too_many_elements);
}

TEST_F(Preflight, broken_sequences_are_refused) {
    const std::string value = short_element(8, 0x100, "SH", "CODE");
    const auto sequence = [](unsigned long length) { return long_header(8, 0x1140, "SQ", length); };
    EXPECT_EQ(code(file_with(sequence(8) + item + little(20, 4) + value + value + sound)), ErrorCode::bad_sequence) << "item longer than its sequence";
    EXPECT_EQ(code(file_with(sequence(undefined_length) + value + sound)), ErrorCode::bad_sequence) << "no item";
    EXPECT_EQ(code(file_with(item_end + sound)), ErrorCode::bad_sequence) << "stray item delimiter";
    EXPECT_EQ(code(file_with(sequence_end + sound)), ErrorCode::bad_sequence) << "stray sequence delimiter";
    EXPECT_EQ(code(file_with(sequence(16) + item + little(8, 4) + short_element(8, 0x100, "SH", "LONGER") + sound)), ErrorCode::bad_sequence) << "value passes its item";
    EXPECT_EQ(code(file_with(sequence(undefined_length) + item + little(undefined_length, 4) + value)), ErrorCode::bad_sequence) << "no delimiters at all";
}

TEST_F(Preflight, a_value_beyond_the_limit_is_refused_though_the_file_holds_it) {
    const std::string large(limits::value_bytes + 2, 'x');
    EXPECT_EQ(code(file_with(long_header(9, 0x1003, "OB", large.size()) + large + sound)), ErrorCode::limit_reached);
}

TEST_F(Preflight, encodings_that_are_not_read_are_named) {
    const auto foreign = check(file_with("", "1.2.3.4.5"));
    ASSERT_FALSE(foreign.ok());
    EXPECT_NE(foreign.error().what.find("1.2.3.4.5"), std::string::npos);
    EXPECT_EQ(code(std::string(128, '\0') + "DICM" + sound), ErrorCode::unsupported_encoding) << "no transfer syntax";
    const auto text = check(file_with("", "not a uid\n"));
    ASSERT_FALSE(text.ok());
    EXPECT_EQ(text.error().what.find("not a uid"), std::string::npos) << "outside text is not quoted";
}

TEST_F(Preflight, a_file_in_another_encoding_than_it_states_is_refused) {
    const std::string implicit = tag(8, 0x60) + little(2, 4) + "CT";
    EXPECT_EQ(code(file_with(implicit)), ErrorCode::unsupported_encoding);
    EXPECT_EQ(code(file_with(sound, "1.2.840.10008.1.2")), ErrorCode::unsupported_encoding);
    EXPECT_EQ(code(file_with(sound, "1.2.840.10008.1.2.5")), ErrorCode::unsupported_encoding) << "native pixels where fragments are stated";
}

TEST_F(Preflight, bytes_after_the_pixels_must_be_elements) {
    const std::string fragments = long_header(0x7FE0, 0x10, "OB", undefined_length) + item + little(0, 4) + item + little(4, 4) + "abcd" + sequence_end;
    const std::string rle = file_with(short_element(8, 0x60, "CS", "CT") + fragments, "1.2.840.10008.1.2.5");
    const std::string padding = long_header(0xFFFC, 0xFFFC, "OB", 6) + std::string(6, '\0');
    const std::string signature = long_header(0xFFFA, 0xFFFA, "SQ", undefined_length) + item + little(undefined_length, 4) + short_element(8, 0x100, "SH", "CODE") + item_end + sequence_end;
    for (const std::string& image : {file_with(sound), rle}) {
        for (const std::string& tail : {padding, signature, signature + padding}) EXPECT_FALSE(code(image + tail).has_value()) << "PS3.5 7.1, PS3.3 C.12.1.1.3: these may follow";
        for (const std::string& tail : {std::string("x"), std::string("garbage, more than a header long"), std::string(512, '\0') + "x", std::string(512, '\xff'), padding.substr(0, 10), sound,
                                        padding + signature, sequence_end})
            EXPECT_EQ(code(image + tail), ErrorCode::trailing_bytes) << tail.size();
        const auto padded = check(image + std::string(9000, '\0'));
        ASSERT_TRUE(padded.ok()) << "media writers fill up with zeros (common practice, no source)";
        EXPECT_TRUE(padded.value().zero_padded);
    }
}

TEST_F(Preflight, an_attribute_stated_twice_with_different_values_is_a_conflict_where_it_matters) {
    const std::string ct = short_element(8, 0x60, "CS", "CT"), mr = short_element(8, 0x60, "CS", "MR"), id = short_element(0x10, 0x20, "LO", "CASE");
    EXPECT_EQ(code(file_with(ct + mr + id)), ErrorCode::conflicting_values);
    EXPECT_EQ(code(file_with(ct + id + mr)), ErrorCode::conflicting_values) << "wherever the second stands";
    EXPECT_FALSE(code(file_with(ct + ct + id)).has_value()) << "the same value twice is no contradiction";
    EXPECT_FALSE(code(file_with(id + ct)).has_value()) << "order alone contradicts nothing";
    EXPECT_EQ(code(std::string(128, '\0') + "DICM" + short_element(2, 0x10, "UI", "1.2.840.10008.1.2.1 ") + short_element(2, 0x10, "UI", "1.2.840.10008.1.2 ") + sound),
              ErrorCode::conflicting_values);
    const std::string pixels = long_header(0x7FE0, 0x10, "OW", 8) + "abcdefgh";
    EXPECT_EQ(code(file_with(ct + pixels + long_header(0x7FE0, 0x10, "OW", 8) + "ABCDEFGH")), ErrorCode::trailing_bytes);

    const auto within = [](unsigned group, const std::string& inside) {
        return long_header(group, 0x9230, "SQ", undefined_length) + item + little(undefined_length, 4) + inside + item_end + sequence_end;
    };
    EXPECT_EQ(code(file_with(within(0x5200, ct + mr))), ErrorCode::conflicting_values) << "functional groups matter";
    EXPECT_FALSE(code(file_with(within(0x5200, ct) + within(0x5201, mr))).has_value()) << "different places are different attributes";
    for (const std::string& elsewhere : {short_element(9, 0x1001, "CS", "A ") + short_element(9, 0x1001, "CS", "B "), within(0x0040, ct + mr)}) {
        const auto layout = check(file_with(ct + id + elsewhere));
        ASSERT_TRUE(layout.ok()) << one_line(layout.error());
        EXPECT_TRUE(layout.value().stated_twice);
    }
    EXPECT_FALSE(check(file_with(sound)).value().stated_twice);
}

TEST_F(Preflight, preambles_of_programs_scripts_and_archives_are_noticed) {
    const std::string image = file_with(sound);
    const auto with_beginning = [&](const std::string& beginning) { return beginning + image.substr(beginning.size()); };
    for (const std::string& beginning : {std::string("MZ\x90"), std::string("\x7f" "ELF"), std::string("#!/bin/sh\n"), std::string("PK\x03\x04"), std::string("\xcf\xfa\xed\xfe")})
        EXPECT_TRUE(check(with_beginning(beginning)).value().suspicious_preamble) << beginning;
    for (const std::string& beginning : {std::string(), std::string("II*\0", 4), std::string("MM\0*", 4), std::string("any text")})
        EXPECT_FALSE(check(with_beginning(beginning)).value().suspicious_preamble) << "TIFF and application data are lawful (PS3.10 7.1)";
}

TEST_F(Preflight, a_written_file_cut_at_every_512_bytes_passes_only_from_its_pixels_on) {
    test::DicomSlice slice;
    slice.rows = 64;
    slice.columns = 64;
    test::write_slice(folder_.path() / "whole", slice);
    const std::string whole = test::read_bytes(folder_.path() / "whole");
    const auto layout = preflight(folder_.path() / "whole", "file 1 of 1");
    ASSERT_TRUE(layout.ok());
    for (std::size_t length = 0; length < whole.size(); length += 512) {
        const auto cut = check(whole.substr(0, length));
        EXPECT_EQ(cut.ok(), length >= layout.value().pixel_offset) << length;
    }
}

}  // namespace
}  // namespace perisclera
