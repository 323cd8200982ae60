// SPDX-License-Identifier: Apache-2.0
#pragma once
// report.html: one self-contained page (UTF-8, no external resource, pictures as data URIs) for a radiologist or an eye surgeon to read
// or print. Its scripts only let pictures be turned and leafed through; text, tables and still pictures are there without them.
// The finding comes first, then pictures, evidence, measurements,
// limits. Colour never carries meaning alone. All text from the model is escaped.
#include <string>
#include <vector>

#include "perisclera/report/paper.h"
#include "perisclera/report/report_model.h"
#include "perisclera/report/still_scenes.h"

namespace perisclera::report {

/// A key image as drawn: the bytes of one PNG without and one with its outlines (empty where there is nothing to draw).
struct DrawnImage {
    const KeyImage* image;
    std::string plain_png, outlined_png;
};

/// A growth chart as drawn, with the sentence that says the same in words.
struct DrawnChart {
    std::string png, description;
};

/// The slices of a series round an eye, side by side in one PNG.
struct DrawnStack {
    const ScrollStack* stack;
    std::string sheet_png;
};

/// A profile across the wall as drawn, with the sentences that say the same; no picture where there is no fit.
struct DrawnProfile {
    std::string png, description;
};

struct Figures {
    std::vector<DrawnImage> images;   ///< the latest visit first, as the finding speaks of it
    std::vector<DrawnChart> charts;
    std::vector<DrawnStack> stacks{};
    std::vector<EyeStill> stills{};
    std::vector<DrawnProfile> profiles{};   ///< the latest visit first
};

std::string to_html(const ReportModel& model, const Identity& identity, const Figures& figures, Paper paper = Paper::a4);

/// Plain text made safe for HTML text and quoted attributes; repaired as clean_text() does.
std::string escaped(std::string_view text);

}  // namespace perisclera::report
