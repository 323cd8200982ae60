// SPDX-License-Identifier: Apache-2.0
// Any bytes through the preflight. What it passes lies where it says, and is the same a second time.
#include <tuple>

#include "perisclera/core/limits.h"
#include "src/ingest/scan_layout.h"
#include "tests/fuzz/require.h"

using namespace perisclera;
using fuzz::require;

namespace {

auto all_of(const FileLayout& l) {
    return std::tie(l.transfer_syntax_uid, l.media_class_uid, l.media_instance_uid, l.encoding, l.suspicious_preamble, l.stated_twice, l.wrong_length, l.out_of_order, l.zero_padded,
                    l.directory, l.directory_sound, l.file_bytes, l.dataset_offset, l.deflated, l.header_bytes, l.has_pixels, l.pixel_offset, l.pixel_bytes);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const unsigned char* data, std::size_t size) {
    const std::vector<unsigned char> bytes(data, data + size);
    InputFile file(bytes);
    const auto layout = scan_layout(file, "file 1 of 1");
    if (!layout) {
        require(!layout.error().what.empty() && layout.error().where == "file 1 of 1", "a refusal says what and where");
        return 0;
    }
    const FileLayout& l = layout.value();
    InputFile again(bytes);
    const auto second = scan_layout(again, "file 1 of 1");
    require(second.ok() && all_of(second.value()) == all_of(l), "the second scan says the same");
    require(l.file_bytes == file.size() && l.dataset_offset <= l.file_bytes, "the data set begins inside the file");
    if (!l.directory) {
        require(l.header_bytes >= l.dataset_offset && l.header_bytes <= l.file_bytes && l.header_bytes <= limits::header_bytes, "the header ends inside the file");
        require(!l.has_pixels || l.pixel_offset <= l.file_bytes, "the pixels begin inside the file");
        require(!l.has_pixels || l.encoding != Encoding::encapsulated || l.pixel_bytes <= l.file_bytes - l.pixel_offset, "fragments end inside the file");
    }
    return 0;
}
