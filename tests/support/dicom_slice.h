// SPDX-License-Identifier: Apache-2.0
#pragma once
// Small CT and MR slices with known contents, written for the tests with DCMTK. Shares no code with the program.
#include <array>
#include <cstdint>
#include <filesystem>
#include <map>
#include <string>
#include <utility>
#include <vector>

namespace perisclera::test {

enum class Compression { implicit_little, explicit_little, explicit_big, rle, jpeg_lossless_57, jpeg_lossless_70, jpeg_ls, jpeg_ls_near, jpeg_baseline, jpeg_extended, deflated };

using TagNumber = std::pair<unsigned short, unsigned short>;

struct DicomSlice {
    std::string modality = "CT";
    int rows = 8, columns = 12;
    std::array<double, 3> position{0.0, 0.0, 0.0};
    std::array<double, 6> orientation{1.0, 0.0, 0.0, 0.0, 1.0, 0.0};
    std::string sop_uid = "1.2.3.1", series_uid = "1.2.3", study_uid = "1.2", frame_uid = "1.9";
    bool is_signed = false;
    int bits_allocated = 16, bits_stored = 12;
    std::vector<std::int32_t> stored;             ///< stored values, row by row; empty: see ramp()
    std::map<TagNumber, std::string> text;        ///< written as they are, over what stands above
    std::map<TagNumber, unsigned short> numbers;  ///< US values
    std::map<TagNumber, double> floats;           ///< FD values
    std::map<TagNumber, std::pair<std::string, std::string>> typed;  ///< value representation and value, for private elements
    std::vector<TagNumber> absent;                ///< removed at the end
    Compression compression = Compression::explicit_little;
};

/// Stored values 100, 101, ... so that every pixel differs from its neighbours.
std::vector<std::int32_t> ramp(int count);

void write_slice(const std::filesystem::path& file, const DicomSlice& slice);

/// Writes a file that holds uncompressed pixels anew in another encoding; identifiers stay.
void recode(const std::filesystem::path& file, Compression compression);

/// `count` slices of one series, `step` apart from `first` on, in files named after their place; slice i holds ramp() + i.
std::vector<DicomSlice> series_of(int count, std::array<double, 3> first, std::array<double, 3> step, DicomSlice prototype = {});
void write_series(const std::filesystem::path& folder, const std::vector<DicomSlice>& slices);

}  // namespace perisclera::test
