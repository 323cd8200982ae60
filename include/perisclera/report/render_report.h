// SPDX-License-Identifier: Apache-2.0
#pragma once
// The whole report as files in memory: report.json, report.html, report.pdf and figures/*.png. Whoever calls writes
// them, all or none. Same model, identity, version and fonts: same bytes.
#include <string>
#include <vector>

#include "perisclera/core/result.h"
#include "perisclera/report/paper.h"
#include "perisclera/report/report_model.h"
#include "perisclera/report/still_scenes.h"

namespace perisclera::report {

struct OutputFile {
    std::string path;    ///< relative, with "/", never holding anything of the patient
    std::string bytes;
};

/// Errors: as render_png().
Result<std::vector<OutputFile>> render_report(const ReportModel& model, const Identity& identity, Paper paper = Paper::a4, const DrawnScenes& drawn_scenes = {});

}  // namespace perisclera::report
