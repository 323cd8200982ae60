// SPDX-License-Identifier: Apache-2.0
#include "tests/damage/subject.h"

#include <algorithm>
#include <cmath>

#include "tests/support/child_process.h"
#include "tests/support/dicom_slice.h"
#include "tests/support/enhanced_image.h"
#include "tests/support/outside_tools.h"
#include "tests/support/test_folder.h"

namespace perisclera::test {

namespace {

constexpr int rows = 24, columns = 32, slices_of_series = 13;

std::vector<std::int32_t> picture(int place) {
    std::vector<std::int32_t> values;
    for (int y = 0; y < rows; ++y)
        for (int x = 0; x < columns; ++x) values.push_back(900 + 20 * place + 30 * x + static_cast<int>(300 * std::sin(0.4 * y)));
    return values;
}

/// With the attributes around it that a scanner would write: a flip should not always meet one that is needed.
std::vector<DicomSlice> series(const std::string& modality, const std::string& uid, Compression compression) {
    DicomSlice prototype;
    prototype.modality = modality;
    prototype.series_uid = uid;
    prototype.rows = rows;
    prototype.columns = columns;
    prototype.compression = compression;
    prototype.text = {{{0x0008, 0x0030}, "101530.25"}, {{0x0008, 0x0050}, "A77"}, {{0x0008, 0x0070}, "Invented"}, {{0x0008, 0x103E}, "axial"},
                      {{0x0018, 0x5100}, "HFS"}, {{0x0018, 0x1314}, "70"}, {{0x0020, 0x0011}, "3"}, {{0x0020, 0x0012}, "1"}, {{0x0028, 0x1050}, "40"},
                      {{0x0028, 0x1051}, "400"}, {{0x0018, 0x0088}, "3"}, {{0x0010, 0x0040}, "F"}};
    if (modality == "MR") prototype.text[{0x0018, 0x0087}] = "1.5";
    auto slices = series_of(slices_of_series, {-10.25, 12.5, -18}, {0, 0, 3}, prototype);
    for (std::size_t i = 0; i < slices.size(); ++i) {
        slices[i].stored = picture(static_cast<int>(i));
        slices[i].text[{0x0020, 0x1041}] = std::to_string(-18 + 3 * static_cast<int>(i));
        slices[i].text[{0x0018, 0x0050}] = "3";
    }
    return slices;
}

std::vector<Subject::File> files_of(const std::vector<DicomSlice>& slices) {
    const TestFolder folder;
    write_series(folder.path(), slices);
    std::vector<Subject::File> files;
    for (const auto& [path, bytes] : contents_of(folder.path())) files.push_back({path.filename().string(), bytes});
    return files;
}

Subject classic(const std::string& name, const std::string& modality, Compression compression) {
    return {name, files_of(series(modality, "1.2.3", compression)), {6, 0, 12}};
}

/// Beside a classic series, so that patient, study and frame of reference are stated by others too.
Subject enhanced(const std::string& name, bool ct, Compression compression) {
    EnhancedImage image;
    image.ct = ct;
    image.rows = rows;
    image.columns = columns;
    image.slice_thickness = "3";
    image.frames = frames_of(slices_of_series, {-10.25, 12.5, -18}, {0, 0, 3}, rows * columns);
    for (std::size_t i = 0; i < image.frames.size(); ++i) image.frames[i].stored = picture(static_cast<int>(i));
    const TestFolder folder;
    const auto file = folder.path() / "enhanced";
    write_enhanced(file, image);
    if (compression != Compression::explicit_little) recode(file, compression);
    Subject subject{name, files_of(series(ct ? "MR" : "CT", "1.2.4", Compression::explicit_little)), {}, true};
    subject.damaged = {subject.files.size()};
    subject.files.push_back({"enhanced", read_bytes(file)});
    return subject;
}

Subject archive() {
    const TestFolder folder;
    write_series(folder.path(), series("CT", "1.2.3", Compression::explicit_little));
    const auto file = folder.path() / "images.zip";
    std::vector<std::string> words{"zip", "-jqX", file.string()};
    for (const auto& [path, bytes] : contents_of(folder.path())) words.push_back((folder.path() / path).string());
    run_tool(words);
    return {"classic CT in a .zip archive", {{"images.zip", read_bytes(file)}}, {0}};
}

/// Steele, Lea and Flood 2014: a counter hashed to 64 even bits.
std::uint64_t hashed(std::uint64_t seed, std::uint64_t counter) {
    std::uint64_t z = seed * 0xD1342543DE82EF95U + (counter + 1) * 0x9E3779B97F4A7C15U;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9U;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBU;
    return z ^ (z >> 31);
}

/// Where the pixels begin, or the file's end where their tag cannot be seen.
std::uint64_t header_bytes(const std::string& bytes) { return std::min(bytes.size(), bytes.find(std::string("\xE0\x7F\x10\x00", 4))); }

}  // namespace

std::vector<Subject> make_subjects() {
    return {
        classic("classic CT, explicit", "CT", Compression::explicit_little),
        classic("classic MR, JPEG-LS", "MR", Compression::jpeg_ls),
        enhanced("enhanced MR, explicit", false, Compression::explicit_little),
        classic("classic CT, deflated", "CT", Compression::deflated),
        classic("classic MR, implicit", "MR", Compression::implicit_little),
        enhanced("enhanced CT, RLE", true, Compression::rle),
        archive(),
    };
}

Damage flip(const std::vector<Subject>& subjects, std::uint64_t seed, std::uint64_t index) {
    Damage damage;
    damage.subject = index % subjects.size();
    const Subject& subject = subjects[damage.subject];
    damage.file = subject.damaged[index / subjects.size() % subject.damaged.size()];
    const std::string& bytes = subject.files[damage.file].bytes;
    const std::uint64_t within = hashed(seed, 3 * index) % 2 == 0 ? header_bytes(bytes) : bytes.size();
    damage.byte = hashed(seed, 3 * index + 1) % within;
    damage.bit = static_cast<int>(hashed(seed, 3 * index + 2) % 8);
    return damage;
}

std::vector<Damage> cuts(const std::vector<Subject>& subjects) {
    std::vector<Damage> all;
    for (std::size_t s = 0; s < subjects.size(); ++s)
        for (const std::size_t file : subjects[s].damaged)
            for (std::uint64_t byte = 0; byte < subjects[s].files[file].bytes.size(); byte += 512) all.push_back({s, file, byte, -1});
    return all;
}

std::string damaged(const Subject& subject, const Damage& damage) {
    std::string bytes = subject.files[damage.file].bytes;
    if (damage.bit < 0)
        bytes.resize(damage.byte);
    else
        bytes[damage.byte] = static_cast<char>(static_cast<unsigned char>(bytes[damage.byte]) ^ (1U << damage.bit));
    return bytes;
}

}  // namespace perisclera::test
