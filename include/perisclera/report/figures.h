// SPDX-License-Identifier: Apache-2.0
#pragma once
// Draws the pictures of the report. Both functions depend on nothing but their arguments and the fonts installed.
// Errors: internal_fault where the drawing library fails, bad_size where a picture's values do not fit its size.
#include <optional>
#include <string>
#include <vector>

#include "perisclera/core/result.h"
#include "perisclera/report/report_model.h"

namespace perisclera::report {

/// A key image as PNG, enlarged by cubic interpolation (values first, then the grey window), with the patient's
/// directions at its borders, a scale bar in mm and a caption that never names the patient. `outline` adds the
/// elements' edges and the marks.
Result<std::string> render_png(const ReportModel& model, const KeyImage& image, bool outline);

/// The volumes of one element over the visits with their 95 % intervals.
struct GrowthSeries {
    struct Visit {
        StudyDate date;
        Measured<Mm3> volume;
    };
    Eye eye;
    std::string element;
    std::vector<Visit> visits;   ///< ordered by date
};
/// Every element whose volume was measured at two dates or more.
std::vector<GrowthSeries> growth(const ReportModel& model);
/// The chart of one element as PNG. Precondition: two visits or more.
Result<std::string> render_chart(const GrowthSeries& series, bool simulated);
/// The chart in a sentence.
std::string chart_in_words(const GrowthSeries& series);

}  // namespace perisclera::report
