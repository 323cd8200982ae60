// SPDX-License-Identifier: Apache-2.0
#pragma once
// Short labels for series, the same on the page, in pictures and in names of files.
#include <map>
#include <string>

#include "perisclera/report/report_model.h"

namespace perisclera::report {

/// Series UID to label: "S1", "S2", ... in the order of report.json, counted on from visit to visit.
using SeriesLabels = std::map<std::string, std::string>;
SeriesLabels label_series(const ReportModel& model);

}  // namespace perisclera::report
