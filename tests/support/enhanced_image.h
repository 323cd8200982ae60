// SPDX-License-Identifier: Apache-2.0
#pragma once
// Enhanced multi-frame CT and MR images with known contents, written with DCMTK and its names of attributes. Shares no code with the program.
#include <array>
#include <cstdint>
#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "tests/support/dicom_slice.h"

namespace perisclera::test {

struct EnhancedFrame {
    std::array<double, 3> position{0.0, 0.0, 0.0};
    std::vector<std::int32_t> stored;             ///< row by row
    double slope = 1.0, intercept = -1024.0;
    double echo_time = 12.0;
    double b_value = 0.0;
    std::string stack_id = "1";
    unsigned temporal_index = 1;
    std::string frame_type;                       ///< empty: ORIGINAL\PRIMARY\VOLUME\NONE
    std::optional<std::array<double, 6>> orientation;  ///< when frames differ; otherwise the image's
};

struct EnhancedImage {
    bool ct = false;
    int rows = 8, columns = 12;
    int bits_allocated = 16, bits_stored = 12;
    std::array<double, 6> orientation{1.0, 0.0, 0.0, 0.0, 1.0, 0.0};
    std::string sop_uid = "1.2.5.1", series_uid = "1.2.5";
    std::string acquisition_contrast = "T1";
    std::map<TagNumber, std::string> top_level, timing, modifier;  ///< further values, or others, there and in two shared groups of MR
    std::string kernel = "SOFT";                  ///< CT
    std::string slice_thickness = "1", pixel_spacing = "0.5\\0.25";
    std::string number_of_frames;                 ///< empty: as many as there are
    std::vector<EnhancedFrame> frames;
    /// Functional groups left out of every frame, and groups written twice: shared and per frame.
    std::vector<TagNumber> absent_groups, doubled_groups;
    int items_left_out = 0;                       ///< at the end of the per-frame sequence
};

/// Frames `step` apart from `first` on; frame i holds ramp() + i.
std::vector<EnhancedFrame> frames_of(int count, std::array<double, 3> first, std::array<double, 3> step, int pixels = 96);

void write_enhanced(const std::filesystem::path& file, const EnhancedImage& image);

/// The position of each frame by DCMTK's own reader of functional groups.
std::vector<std::array<double, 3>> positions_by_dcmtk(const std::filesystem::path& file);

}  // namespace perisclera::test
