// SPDX-License-Identifier: Apache-2.0
#pragma once
// The images of one series as three readers see them: GDCM, pydicom, and this project's own. Each in the order of the files' names.
#include <array>
#include <filesystem>
#include <map>
#include <string>
#include <vector>

namespace perisclera::test {

struct ReadSlice {
    std::string name;                    ///< of the file
    std::array<double, 3> position;      ///< of the first pixel's centre, LPS mm
    std::array<double, 6> orientation;   ///< unit directions along a row, down a column
    std::array<double, 2> spacing;       ///< between rows, between columns, mm
    int rows, columns;
    std::vector<double> values;          ///< rescaled, row by row
};

/// Each throws std::runtime_error where the reader fails.
std::vector<ReadSlice> series_by_gdcm(const std::filesystem::path& folder);
/// All series below a folder at once, by the folder each lies in: starting Python takes longer than reading.
std::map<std::filesystem::path, std::vector<ReadSlice>> all_by_pydicom(const std::filesystem::path& folder);
/// From the checked stack, so that what is compared is the one geometry of the volume and not a header's copy.
std::vector<ReadSlice> series_by_perisclera(const std::filesystem::path& folder);

}  // namespace perisclera::test
