// SPDX-License-Identifier: Apache-2.0
// Files whose elements do not hold together. PS3.5 chapter 7 tells how they should.
#include <regex>

#include "tests/bad_input/bad_input.h"
#include "tests/support/element_bytes.h"

namespace perisclera::test {

namespace {

#ifdef __SANITIZE_ADDRESS__
constexpr bool memory_can_be_limited = false;  // the sanitizer reserves terabytes of address space
#else
constexpr bool memory_can_be_limited = true;
#endif

const DicomSlice& sound() {
    static const DicomSlice slice;
    return slice;
}

const std::string pixels_element("\xe0\x7f\x10\x00OW", 6);

}  // namespace

PERISCLERA_BAD_INPUT(5, a_header_cut_short, "a header that ends inside an element", "the file is refused with the byte where it ends", "TRUNCATED", "3, 0") {
    const std::string whole = bytes_of(sound());
    const std::size_t pixels = whole.find(pixels_element);
    for (const std::size_t length : {pixels + 3, pixels - 3, std::size_t{200}}) {
        expect_file_refused(whole.substr(0, length), "TRUNCATED");
        const Told told = run({PERISCLERA_PROGRAM, "survey", (in() / "image.dcm").string()});
        expect_refused(told, "TRUNCATED");
        EXPECT_TRUE(std::regex_search(told.ended.error_text, std::regex("at byte [0-9]+:"))) << told.ended.error_text;
    }
}

PERISCLERA_BAD_INPUT(6, pixels_cut_short, "fewer pixels than rows and columns say", "the file is refused with both lengths; in the middle of a series it ends the run", "PIXELS_SHORT", "3, 0") {
    const std::string whole = bytes_of(sound());
    expect_file_refused(whole.substr(0, whole.size() - 10), "PIXELS_SHORT");
    const Told told = run({PERISCLERA_PROGRAM, "survey", (in() / "image.dcm").string()});
    EXPECT_NE(told.ended.error_text.find("192 bytes expected, 182 found"), std::string::npos) << told.ended.error_text;   // 8 x 12 x 2
    clear();
    write_series(in(), ct_series());
    const std::string middle = read_bytes(in() / "CT_0012");
    write_bytes(in() / "CT_0012", middle.substr(0, middle.size() - 700));
    expect_refused(identify(), "PIXELS_SHORT");
}

PERISCLERA_BAD_INPUT(7, bytes_after_the_end, "bytes after the pixels that are no element", "the file is refused; zeros to fill up are only told", "TRAILING_BYTES", "3, 0") {
    const std::string whole = bytes_of(sound());
    for (const std::string& tail : {std::string("x"), std::string("garbage"), std::string(512, '\xff')}) expect_file_refused(whole + tail, "TRAILING_BYTES");
    clear();
    write_series(in(), ct_series(5));
    write_bytes(in() / "CT_0003", read_bytes(in() / "CT_0003") + std::string(512, '\0'));
    const Told told = survey();
    expect_warned(told, "TRAILING_BYTES");
    EXPECT_EQ(told.json["images"], 5);
}

PERISCLERA_BAD_INPUT(8, a_length_beyond_the_file, "a value that claims 2 or 4 GB in a file of some hundred bytes", "the file is refused without asking for that memory", "LENGTH_BEYOND_FILE", "3, 0") {
    for (const unsigned long length : {0xFFFFFFFEUL, 0x7FFFFFFFUL}) {
        const std::string bytes = with_elements(sound(), long_header(0x0029, 0x1001, "OB", length));
        expect_file_refused(bytes, "LENGTH_BEYOND_FILE");
        clear();
        write_bytes(in() / "image.dcm", bytes);
        // 1.5 GB for the program and all its libraries: whoever asked for 2 GB more would fail otherwise.
        if (memory_can_be_limited)
            expect_refused(run({"/usr/bin/prlimit", "--as=1500000000", PERISCLERA_PROGRAM, "survey", in().string()}), "LENGTH_BEYOND_FILE");
    }
}

PERISCLERA_BAD_INPUT(9, sequences_nested_deeply, "sequences nested 65, 4,000 and 100,000 deep", "the file is refused; 64 levels are read", "NESTED_TOO_DEEP", "3, 0") {
    const auto nested = [](int depth) {
        std::string elements;
        for (int i = 0; i < depth; ++i) elements += long_header(0x0029, 0x1140, "SQ", undefined_length) + item + little(undefined_length, 4);
        for (int i = 0; i < depth; ++i) elements += item_end + sequence_end;
        return elements;
    };
    for (const int depth : {65, 4000, 100'000}) expect_file_refused(with_elements(sound(), nested(depth)), "NESTED_TOO_DEEP");
    clear();
    write_series(in(), ct_series(4));
    DicomSlice fifth = ct_series(5)[4];
    write_bytes(in() / "CT_0005", with_elements(fifth, nested(64)));
    const Told told = survey();
    expect_read(told);
    EXPECT_EQ(told.json["images"], 5);
}

PERISCLERA_BAD_INPUT(10, sequences_that_do_not_close, "an item longer than its sequence, missing delimiters, stray delimiters", "the file is refused", "BAD_SEQUENCE", "3, 0") {
    const std::string value = short_element(0x0029, 0x1000, "SH", "CODE");
    const auto sequence = [](unsigned long length) { return long_header(0x0029, 0x1140, "SQ", length); };
    for (const std::string& elements : {sequence(8) + item + little(12, 4) + value, sequence(undefined_length) + value, sequence(undefined_length) + item + little(undefined_length, 4) + value,
                                        sequence(undefined_length) + item + little(undefined_length, 4) + value + item_end, item_end, sequence_end})
        expect_file_refused(with_elements(sound(), elements), "BAD_SEQUENCE");
}

PERISCLERA_BAD_INPUT(11, value_representations_that_are_wrong, "an unknown kind of value, one in small letters, none at all, an odd length, or the wrong kind where a value is needed",
                     "read where nothing that is needed is touched; otherwise, and with small letters, the file is refused", "BAD_VALUE", "3, 0") {
    DicomSlice fifth = ct_series(5)[4];
    for (const std::string& harmless : {long_header(0x0029, 0x1001, "ZZ", 4) + "abcd", short_element(0x0029, 0x1001, std::string(2, '\0'), "abcd"), short_element(0x0029, 0x1001, "LO", "odd")}) {
        clear();
        write_series(in(), ct_series(4));
        write_bytes(in() / "CT_0005", with_elements(fifth, harmless));
        const Told told = survey();
        expect_read(told);
        EXPECT_EQ(told.json["images"], 5) << told.ended.output_text;
    }
    const auto with_vr = [&](const std::string& element, const std::string& vr) {
        std::string bytes = bytes_of(sound());
        return bytes.replace(bytes.find(element) + 4, 2, vr);
    };
    expect_file_refused(with_vr(tag(0x0028, 0x0010) + "US", "SS"), "BAD_VALUE");   // Rows
    expect_file_refused(with_vr(tag(0x0028, 0x0030) + "DS", "LO"), "BAD_VALUE");   // PixelSpacing
    expect_file_refused(with_vr(tag(0x0020, 0x0032) + "DS", "FL"), "BAD_VALUE");   // ImagePositionPatient
    // Small letters are no kind of value (PS3.5 6.2); DCMTK knows some for itself, takes what follows for a length, and asks for that much memory.
    for (const std::string vr : {"lt", "ox", "xs", "na", "up", "px", "pi", "it", "ps", "Ov"})
        expect_file_refused(with_elements(sound(), short_element(0x0028, 0x1054, vr, std::string(0x4c, '\x2b'))), "BAD_VALUE");
    std::string odd = bytes_of(sound());
    odd.replace(odd.find(tag(0x0028, 0x0010) + "US"), 10, tag(0x0028, 0x0010) + "US" + little(3, 2) + std::string("\x08\0\0", 3));
    expect_file_refused(odd, "BAD_VALUE");
}

PERISCLERA_BAD_INPUT(12, elements_stated_twice_or_out_of_order, "an attribute stated twice, attributes out of order",
                     "a needed one with two values: the file is refused; otherwise read, with a warning", "CONFLICTING_VALUES, OUT_OF_ORDER", "3, 0") {
    expect_file_refused(with_elements(sound(), short_element(0x0028, 0x0030, "DS", "0.5\\0.75")), "CONFLICTING_VALUES");
    expect_file_refused(with_elements(sound(), short_element(0x0010, 0x0020, "LO", "CASE2 ")), "CONFLICTING_VALUES");
    const auto read_with = [&](const std::string& elements, const std::string& code) {
        clear();
        write_series(in(), ct_series(4));
        write_bytes(in() / "CT_0005", with_elements(ct_series(5)[4], elements));
        const Told told = survey();
        expect_warned(told, code);
        EXPECT_EQ(told.json["images"], 5);
    };
    read_with(short_element(0x0029, 0x1001, "LO", "A ") + short_element(0x0029, 0x1001, "LO", "B "), "CONFLICTING_VALUES");
    read_with(short_element(0x0028, 0x0030, "DS", "0.5\\0.25"), "OUT_OF_ORDER");   // the same value again
    read_with(short_element(0x0009, 0x1001, "LO", "A "), "OUT_OF_ORDER");
}

PERISCLERA_BAD_INPUT(13, too_many_elements, "400,000 elements", "the file is refused in one line", "TOO_MANY_ELEMENTS", "3, 0") {
    std::string many;
    for (int i = 0; i < 400'000; ++i) many += short_element(0x0029, 0x1000, "CS", "");
    expect_file_refused(with_elements(sound(), many), "TOO_MANY_ELEMENTS");
}

}  // namespace perisclera::test
