// SPDX-License-Identifier: Apache-2.0
#pragma once
// One picture of the report: a plane resampled from a used series, with outlines to be drawn over it.
// Pixels are square; pixel coordinates have (0, 0) at the centre of the first pixel, x to the right, y down.
// Values are in the series' own unit (HU on CT, none on MR). No field holds text of the patient's data.
#include <cstddef>
#include <string>
#include <vector>

#include "perisclera/assemble/image_series.h"
#include "perisclera/core/eye.h"
#include "perisclera/core/units.h"

namespace perisclera::report {

struct PixelPoint {
    double x, y;
};

/// The edge of one element as cut by the picture's plane; an element may need several.
struct Outline {
    std::string element_id;
    std::vector<PixelPoint> points;
    bool closed = true;
};

/// A short label at a point, e.g. "R1" or "globe centre".
struct Mark {
    std::string text;
    PixelPoint at;
};

/// The patient's directions at the picture's borders: R, L, A, P, S, I or combinations; empty where not to be shown.
struct BorderLetters {
    std::string left, right, top, bottom;
};

struct KeyImage {
    std::string timepoint_id;         ///< of ReportModel::timepoints
    std::string series_uid;           ///< of that timepoint's series
    Eye eye;
    std::string plane;                ///< in words: "axial", "across the element at 1.5 o'clock", ...
    std::string note;                 ///< one sentence more for the caption; may be empty
    std::size_t width, height;        ///< pixels
    std::vector<float> values;        ///< row after row, width * height
    float window_low, window_high;    ///< shown black and white; low < high
    Mm pixel_size;
    BorderLetters letters;
    std::vector<Outline> outlines;
    std::vector<Mark> marks;
    std::vector<std::size_t> slices{}; ///< of the series, that the picture is resampled from; ascending
    std::size_t nearest_slice = 0;    ///< of these, to the middle of the outlines, or of the picture where it has none
};

}  // namespace perisclera::report
