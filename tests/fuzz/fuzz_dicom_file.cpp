// SPDX-License-Identifier: Apache-2.0
// Any bytes as a file, read as the program reads it: behind the preflight, with its attributes checked and its pixels where they are not
// compressed (what is compressed is decoded in processes of their own). What is accepted is sound and gives the same values a second time.
#include <sys/mman.h>
#include <unistd.h>

#include <cmath>
#include <cstring>

#include "perisclera/core/limits.h"
#include "perisclera/ingest/read_pixels.h"
#include "src/ingest/fragments.h"
#include "src/ingest/parse_file.h"
#include "tests/fuzz/require.h"

using namespace perisclera;
using fuzz::require;

namespace {

/// The input as a file without a disk.
class FileInMemory {
public:
    FileInMemory() : descriptor_(::memfd_create("input", 0)) { require(descriptor_ >= 0, "a file in memory"); }
    void hold(const unsigned char* data, std::size_t size) const {
        require(::ftruncate(descriptor_, 0) == 0 && ::pwrite(descriptor_, data, size, 0) == static_cast<ssize_t>(size), "the input is written");
    }
    [[nodiscard]] std::string path() const { return "/proc/self/fd/" + std::to_string(descriptor_); }

private:
    int descriptor_;
};

void check(const SliceHeader& s) {
    const SliceGeometry& g = s.geometry;
    constexpr int most = static_cast<int>(limits::rows_or_columns);
    require(g.rows >= 1 && g.rows <= most && g.columns >= 1 && g.columns <= most, "rows and columns within their limits");
    require(g.row_spacing_mm > 0.0 && g.row_spacing_mm < 1000.0 && g.column_spacing_mm > 0.0 && g.column_spacing_mm < 1000.0, "spacing is positive");
    for (const double part : {g.position.x, g.position.y, g.position.z}) require(std::abs(part) <= 1e5, "the position is a place");
    require(std::abs(length(g.row) - 1.0) < 2e-3 && std::abs(length(g.column) - 1.0) < 2e-3 && std::abs(dot(g.row, g.column)) < 2e-3, "directions are perpendicular and of unit length");
    const PixelFormat& f = s.pixels;
    require((f.bits_allocated == 8 || f.bits_allocated == 16) && f.bits_stored >= 1 && f.high_bit >= f.bits_stored - 1 && f.high_bit < f.bits_allocated, "bits lie within their word");
    require(std::isfinite(f.rescale_slope) && std::isfinite(f.rescale_intercept) && f.rescale_slope != 0.0, "the scale is one");
    require(s.frame >= 0 && s.frame < s.frames, "the frame is one of those");
    require(!s.sop_instance_uid.empty() && s.sop_instance_uid.size() <= 64 && !s.series_uid.empty() && s.series_uid.size() <= 64, "identifiers are there");
}

ParsedFile parse(const std::vector<unsigned char>& bytes, const std::string& path) {
    InputFile file(bytes);
    return parse_file(file, {path, std::nullopt, "file 1 of 1", stamp_of(path).value_or(FileStamp{})});
}

bool same(const SliceHeader& a, const SliceHeader& b) {
    return a.sop_instance_uid == b.sop_instance_uid && a.series_uid == b.series_uid && a.patient == b.patient && a.geometry.rows == b.geometry.rows &&
           length(a.geometry.position - b.geometry.position) == 0.0 && a.geometry.row_spacing_mm == b.geometry.row_spacing_mm && a.pixels.rescale_slope == b.pixels.rescale_slope;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const unsigned char* data, std::size_t size) {
    static const FileInMemory on_disk;
    const std::vector<unsigned char> bytes(data, data + size);
    on_disk.hold(data, size);  // before it is parsed: pixels are read only from a file that is as it was then
    const ParsedFile first = parse(bytes, on_disk.path()), second = parse(bytes, on_disk.path());
    require(first.index() == second.index(), "a second reading comes to the same");
    const auto* slices = std::get_if<std::vector<SliceHeader>>(&first);
    if (slices == nullptr) return 0;
    require(!slices->empty(), "an accepted file holds an image");
    for (std::size_t i = 0; i < slices->size(); ++i) {
        const SliceHeader& slice = (*slices)[i];
        check(slice);
        require(same(slice, std::get<std::vector<SliceHeader>>(second)[i]), "a second reading gives the same values");
        // A few frames stand for all.
        if (i >= 4) continue;
        if (slice.layout.encoding == Encoding::encapsulated) {
            InputFile file(bytes);
            static_cast<void>(fragments_of_frames(file, slice.layout, slice.frames));
            continue;
        }
        const auto pixels = read_pixels(slice), again = read_pixels(slice);
        require(pixels.ok(), "accepted pixels can be read");
        require(again.ok() && std::memcmp(pixels.value().data(), again.value().data(), pixels.value().size() * sizeof(float)) == 0, "a second reading gives the same pixels");
        for (const float value : pixels.value()) require(std::isfinite(value), "a pixel is a number");
    }
    return 0;
}
