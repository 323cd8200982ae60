// SPDX-License-Identifier: Apache-2.0
// Sizes and pixel formats that contradict the pixels or themselves (PS3.3 C.7.6.3).
#include "tests/bad_input/bad_input.h"
#include "tests/support/enhanced_image.h"

namespace perisclera::test {

namespace {

constexpr TagNumber rows{0x0028, 0x0010}, columns{0x0028, 0x0011}, number_of_frames{0x0028, 0x0008}, samples{0x0028, 0x0002}, allocated{0x0028, 0x0100}, stored{0x0028, 0x0101}, high{0x0028, 0x0102};

std::string with(const std::vector<std::pair<TagNumber, unsigned short>>& numbers, const std::string& frames = "") {
    DicomSlice slice;
    for (const auto& [tag, value] : numbers) slice.numbers[tag] = value;
    if (!frames.empty()) slice.text[number_of_frames] = frames;
    return bytes_of(slice);
}

}  // namespace

PERISCLERA_BAD_INPUT(14, sizes_of_nothing_or_too_much, "no rows, no columns, or 65,535 x 65,535 pixels in 2,147,483,647 frames", "the file is refused; sizes are multiplied in 64 bits", "BAD_SIZE", "3, 0") {
    expect_file_refused(with({{rows, 0}}), "BAD_SIZE");
    expect_file_refused(with({{columns, 0}}), "BAD_SIZE");
    expect_file_refused(with({{rows, 65535}, {columns, 65535}}), "BAD_SIZE");
    expect_file_refused(with({{rows, 65535}, {columns, 65535}}, "2147483647"), "BAD_SIZE");
}

PERISCLERA_BAD_INPUT(15, numbers_of_frames_that_do_not_fit, "a number of frames that is negative, a text, or not that of the data", "the file is refused", "BAD_SIZE", "3, 0") {
    for (const char* frames : {"-1", "0", "two", "2"}) expect_file_refused(with({}, frames), "BAD_SIZE");
    const TestFolder made;
    for (const char* frames : {"-1", "many", "5", "3"}) {
        EnhancedImage image;
        image.frames = frames_of(4, {0, 0, 0}, {0, 0, 1});
        image.number_of_frames = frames;
        write_enhanced(made.path() / "enhanced", image);
        expect_file_refused(read_bytes(made.path() / "enhanced"), "BAD_SIZE");
    }
}

PERISCLERA_BAD_INPUT(16, pixel_formats_that_contradict_themselves, "0, 12 or 52 bits allocated, a high bit or more bits stored than allocated, no sample or three of a grey pixel", "the file is refused",
                     "BAD_PIXEL_FORMAT", "3, 0") {
    for (const auto& [tag, value] : std::vector<std::pair<TagNumber, unsigned short>>{{allocated, 0}, {allocated, 12}, {allocated, 52}, {stored, 17}, {high, 16}, {samples, 0}, {samples, 3}})
        expect_file_refused(with({{tag, value}}), "BAD_PIXEL_FORMAT");
}

}  // namespace perisclera::test
