// SPDX-License-Identifier: Apache-2.0
#pragma once
// Simulated patients taken all the way to what is filed beside their images, and the files as tools outside the program want them.
#include <filesystem>
#include <string>
#include <vector>

#include "perisclera/report/moment.h"
#include "perisclera/report/report_model.h"

namespace perisclera::test {

struct FiledPatient {
    std::filesystem::path images;   ///< a folder of nothing else
    report::ReportModel model;
    report::Identity identity;
};

/// Reads and analyses the images of a folder, as the program does. Throws std::runtime_error where that fails.
FiledPatient analysed(const std::filesystem::path& images);

/// Synthesises the scenario's images into `folder`/images, its truth.json beside them.
FiledPatient simulated(const std::string& scenario, const std::filesystem::path& folder);

/// The CT or MR series of `classic` as one enhanced CT image, for one modality and one stack.
void write_as_enhanced_ct(const std::filesystem::path& classic, const std::filesystem::path& file);

/// The filled voxels of all segments as text: a line for each run along a row, "segment instance frame row column length", counted from 0 but for segments and frames.
std::string voxel_runs(const report::SegmentedSeries& series);

/// The image files of a folder and below, whose series is this.
std::vector<std::filesystem::path> files_of_series(const std::filesystem::path& images, const std::string& series_uid);

inline report::Moment some_moment() { return {2026, 2, 3, 14, 5, 6}; }

}  // namespace perisclera::test
