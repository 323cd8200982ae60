// SPDX-License-Identifier: Apache-2.0
// Encodings that are unknown, untrue, damaged or lossy, and data that grow without end.
#include "tests/bad_input/bad_input.h"
#include "tests/support/element_bytes.h"
#include "tests/support/outside_tools.h"

namespace perisclera::test {

namespace {

/// Sound but for the transfer syntax that its meta group states, of whatever length.
std::string with_transfer_syntax(const std::string& bytes, std::string uid) {
    if (uid.size() % 2 != 0) uid += '\0';
    const std::size_t at = bytes.find(tag(2, 0x10) + "UI");
    const auto length = static_cast<std::size_t>(static_cast<unsigned char>(bytes[at + 6]));
    return bytes.substr(0, at) + short_element(2, 0x10, "UI", uid) + bytes.substr(at + 8 + length);
}

std::string without_transfer_syntax(const std::string& bytes) {
    const std::size_t at = bytes.find(tag(2, 0x10) + "UI");
    return bytes.substr(0, at) + bytes.substr(at + 8 + static_cast<std::size_t>(static_cast<unsigned char>(bytes[at + 6])));
}

std::string compressed(Compression compression) {
    DicomSlice slice;
    slice.compression = compression;
    return bytes_of(slice);
}

const std::string pixels_start = tag(0x7FE0, 0x10) + "OB" + little(0, 2) + little(undefined_length, 4);

/// The file with other fragments in place of its own, behind an empty offset table.
std::string with_fragments(const std::string& bytes, const std::string& fragments) {
    return bytes.substr(0, bytes.find(pixels_start)) + pixels_start + item + little(0, 4) + fragments + sequence_end;
}

std::string fragment(const std::string& stream) { return item + little(stream.size(), 4) + stream; }

/// The CT series compressed one by one, the twelfth slice damaged.
template <class Damage>
std::vector<std::string> damaged_series(Compression compression, Damage damage) {
    std::vector<std::string> files;
    auto slices = ct_series();
    for (std::size_t i = 0; i < slices.size(); ++i) {
        slices[i].compression = compression;
        files.push_back(bytes_of(slices[i]));
    }
    files[11] = damage(files[11]);
    return files;
}

}  // namespace

PERISCLERA_BAD_INPUT(36, encodings_not_read_or_untrue, "a transfer syntax that is unknown or missing, or a header that is not in the encoding it states", "the file is refused; a valid UID is named", "UNSUPPORTED_ENCODING",
                     "3, 0") {
    const std::string explicit_file = bytes_of({}), implicit_file = compressed(Compression::implicit_little);
    expect_file_refused(with_transfer_syntax(explicit_file, "1.2.3.4.5"), "UNSUPPORTED_ENCODING");
    EXPECT_NE(run({PERISCLERA_PROGRAM, "survey", (in() / "image.dcm").string()}).ended.error_text.find("1.2.3.4.5"), std::string::npos);
    expect_file_refused(without_transfer_syntax(explicit_file), "UNSUPPORTED_ENCODING");
    expect_file_refused(with_transfer_syntax(explicit_file, "1.2.840.10008.1.2"), "UNSUPPORTED_ENCODING");
    expect_file_refused(with_transfer_syntax(implicit_file, "1.2.840.10008.1.2.1"), "UNSUPPORTED_ENCODING");
    expect_file_refused(with_transfer_syntax(explicit_file, "1.2.840.10008.1.2.5"), "UNSUPPORTED_ENCODING");
    expect_file_refused(with_transfer_syntax(compressed(Compression::jpeg_ls), "1.2.840.10008.1.2.4.201"), "UNSUPPORTED_ENCODING");
}

PERISCLERA_BAD_INPUT(37, damaged_compressed_pixels, "damaged RLE, JPEG, JPEG-LS or JPEG 2000, no fragment, a fragment of 4 GB, markers without end",
                     "decoded in a process of its own within limits of time and memory, which costs that one file; refused", "DECODE_FAILED, TRUNCATED, LENGTH_BEYOND_FILE", "3, 0") {
    const auto give = [&](const std::vector<std::string>& files) {
        clear();
        for (std::size_t i = 0; i < files.size(); ++i) write_bytes(in() / ("IM" + std::to_string(i)), files[i]);
    };
    // The stream without its beginning: no decoder can make sense of it.
    const auto nonsense = [](std::string bytes) {
        // Item header, offset table, item header.
        const std::size_t table = bytes.find(pixels_start) + pixels_start.size();
        const std::size_t stream = table + 8 + static_cast<unsigned char>(bytes[table + 4]) + 8;
        std::fill(bytes.begin() + static_cast<std::ptrdiff_t>(stream), bytes.end() - 8, '\x7f');
        return bytes;
    };
    for (const Compression compression : {Compression::rle, Compression::jpeg_extended, Compression::jpeg_lossless_70, Compression::jpeg_ls}) {
        give(damaged_series(compression, nonsense));
        expect_refused(identify(), "DECODE_FAILED");
    }
    std::vector<std::string> wavelets = damaged_series(Compression::explicit_little, [](std::string bytes) { return bytes; });
    for (std::string& bytes : wavelets) {
        const TestFolder made;
        write_bytes(made.path() / "slice", bytes);
        recode_with_gdcm(made.path() / "slice", {"--j2k"});
        bytes = read_bytes(made.path() / "slice");
    }
    wavelets[11] = nonsense(wavelets[11]);
    give(wavelets);
    expect_refused(identify(), "DECODE_FAILED");
    give(damaged_series(Compression::jpeg_lossless_70, [](const std::string& bytes) { return with_fragments(bytes, ""); }));
    expect_refused(identify(), "DECODE_FAILED");
    // A start of image, then TEM markers (ITU-T T.81 B.1.1.3), which have no content and may be met for ever.
    std::string endless = "\xff\xd8";
    for (int i = 0; i < 50'000; ++i) endless += "\xff\x01";
    give(damaged_series(Compression::jpeg_lossless_70, [&](const std::string& bytes) { return with_fragments(bytes, fragment(endless)); }));
    expect_refused(identify(), "DECODE_FAILED");
    const std::string rle = compressed(Compression::rle);
    expect_file_refused(with_fragments(rle, item + little(0xFFFFFFFEUL, 4)), "LENGTH_BEYOND_FILE");
    expect_file_refused(with_fragments(rle, item + little(4000, 4)), "TRUNCATED");
}

PERISCLERA_BAD_INPUT(38, pixels_compressed_with_loss, "CT compressed with loss at some time", "read, with a warning that the numbers come from lossy images and the ratio stated", "LOSSY_COMPRESSION", "0") {
    give_phantom();
    for (const auto& [path, bytes] : contents_of(in())) {
        const std::string loss = short_element(0x0028, 0x2110, "CS", "01") + short_element(0x0028, 0x2112, "DS", "8.5 ");
        std::string changed = bytes;
        write_bytes(path, changed.insert(changed.find(std::string("\xe0\x7f\x10\x00OW", 6)), loss));
    }
    const Told told = identify();
    expect_warned(told, "LOSSY_COMPRESSION");
    EXPECT_NE(told.json["warnings"].dump().find("compressed with loss by a factor of 8.5"), std::string::npos) << told.json["warnings"].dump();
    EXPECT_NE(told.problems.find("compressed with loss"), std::string::npos);
}

PERISCLERA_BAD_INPUT(39, deflated_data_without_measure, "deflated data that grow a thousandfold, end early, or are garbage", "the file is refused before it fills the memory", "INFLATES_TOO_LARGE, TRUNCATED, DECODE_FAILED", "3, 0") {
    const std::string whole = compressed(Compression::deflated);
    expect_file_refused(whole.substr(0, whole.size() - 40), "TRUNCATED");
    std::string garbage = whole;
    std::fill(garbage.end() - static_cast<std::ptrdiff_t>(garbage.size() - 340), garbage.end(), '\xff');
    expect_file_refused(garbage, "DECODE_FAILED");
    DicomSlice bomb;
    bomb.compression = Compression::deflated;
    bomb.rows = bomb.columns = 4096;   // 32 MiB of zeros in some ten kilobytes
    bomb.stored.assign(4096U * 4096U, 0);
    expect_file_refused(bytes_of(bomb), "INFLATES_TOO_LARGE");
}

}  // namespace perisclera::test
