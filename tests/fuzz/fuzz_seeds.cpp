// SPDX-License-Identifier: Apache-2.0
// What the fuzzers start from, made by the tests' own writers: fuzz_seeds FOLDER fills FOLDER/dicom and FOLDER/stack.
#include <cstdio>
#include <cstring>

#include "tests/fuzz/stack_bytes.h"
#include "tests/support/dicom_slice.h"
#include "tests/support/element_bytes.h"
#include "tests/support/enhanced_image.h"
#include "tests/support/test_folder.h"

namespace {

using namespace perisclera::test;
using perisclera::fuzz::StackBytes;
namespace fs = std::filesystem;

void write_dicom(const fs::path& folder) {
    int count = 0;
    const auto next = [&] { return folder / std::to_string(++count); };
    for (const Compression compression : {Compression::implicit_little, Compression::explicit_little, Compression::explicit_big, Compression::deflated, Compression::rle,
                                          Compression::jpeg_lossless_70, Compression::jpeg_ls}) {
        for (const char* modality : {"CT", "MR"}) {
            DicomSlice slice;
            slice.modality = modality;
            slice.compression = compression;
            write_slice(next(), slice);
        }
        EnhancedImage image;
        image.ct = compression == Compression::rle;
        image.frames = frames_of(2, {0, 0, 0}, {0, 0, 3});
        const fs::path file = next();
        write_enhanced(file, image);
        if (compression != Compression::explicit_little) recode(file, compression);
    }
    // Sequences with and without stated lengths, one of an unknown kind, before a sound image's last group.
    DicomSlice slice;
    const fs::path plain = next();
    write_slice(plain, slice);
    std::string bytes = read_bytes(plain);
    const std::string element = short_element(0x0008, 0x0104, "LO", "word");
    const std::string open = long_header(0x0018, 0x9346, "SQ", undefined_length) + item + little(undefined_length, 4) + element + item_end + sequence_end;
    const std::string stated = long_header(0x0018, 0x9346, "SQ", 8 + element.size()) + item + little(element.size(), 4) + element;
    const std::string unknown = long_header(0x0019, 0x1001, "UN", undefined_length) + item + little(undefined_length, 4) + item_end + sequence_end;
    const std::size_t at = bytes.find(std::string("\x20\x00\x0D\x00UI", 6));
    write_bytes(next(), std::string(bytes).insert(at, open));
    write_bytes(next(), std::string(bytes).insert(at, stated));
    write_bytes(next(), std::string(bytes).insert(at, unknown));
}

void write_stacks(const fs::path& folder) {
    int count = 0;
    for (const int slices : {5, 12, 40})
        for (const int kind : {0, 1, 2, 3}) {
            std::string bytes;
            for (int i = 0; i < slices; ++i) {
                StackBytes b{};
                b.coarse = {static_cast<std::int8_t>(-20), 10, static_cast<std::int8_t>(3 * i - 60)};
                if (kind == 1) b.coarse[1] = static_cast<std::int8_t>(10 + i);  // tilted
                if (kind == 2) b.times = static_cast<std::uint8_t>(0x80 | (1 + i % 2));  // two echoes
                if (kind == 3 && i % 4 == 0) b.identifiers = 1;
                b.instance = static_cast<std::uint8_t>(i);
                bytes.append(reinterpret_cast<const char*>(&b), sizeof b);
            }
            write_bytes(folder / std::to_string(++count), bytes);
        }
}

}  // namespace

int main(int argc, char** argv) {
    if (argc != 2) {
        std::fprintf(stderr, "usage: fuzz_seeds FOLDER\n");
        return 2;
    }
    const fs::path folder = argv[1];
    for (const char* kind : {"dicom", "stack"}) fs::create_directories(folder / kind);
    write_dicom(folder / "dicom");
    write_stacks(folder / "stack");
    return 0;
}
