// SPDX-License-Identifier: Apache-2.0
#pragma once
// The slices of one series round one eye as they were acquired, for leafing through; not part of report.json.
// Pixels are those of the series, cut to a square round the globe; values went through the window already (0 black, 255 white).
#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "perisclera/report/key_image.h"

namespace perisclera::report {

struct ScrollSlice {
    std::string place;                      ///< in words: "3.0 mm above the globe's centre"
    double offset_mm;                       ///< of the same, along the slice step
    std::vector<Outline> outlines{};        ///< of the elements, in pixels of this slice
};

struct ScrollStack {
    std::string timepoint_id;               ///< of ReportModel::timepoints
    std::string series_uid;                 ///< of that timepoint's series
    Eye eye;
    std::string plane;                      ///< "axial", "coronal", "sagittal", "oblique, nearest to axial", ...
    std::size_t width, height;              ///< pixels of a slice
    Mm column_spacing, row_spacing;         ///< from one pixel to the next in a row, and from row to row
    double step_mm;                         ///< between the slices shown
    int every;                              ///< 1: all slices; n: every nth, to keep the page small
    bool brought_over;                      ///< the outlines come from another series, by the eye's own frame
    float window_low, window_high;          ///< in the series' unit, shown black and white
    BorderLetters letters;
    std::vector<ScrollSlice> slices;
    std::vector<std::uint8_t> pixels;       ///< slice after slice, row after row: slices.size() * width * height
};

}  // namespace perisclera::report
