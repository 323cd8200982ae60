// SPDX-License-Identifier: Apache-2.0
#pragma once
// What a result files beside the patient's images, as DICOM objects in memory. Whoever calls writes them, all or none.
// Same model, identity, report, moment and version: same bytes.
#include <string>
#include <vector>

#include "perisclera/core/result.h"
#include "perisclera/report/moment.h"
#include "perisclera/report/render_report.h"

namespace perisclera::report {

/// `report`: what render_report() gave for the same model. Paths are "dicom/<visit>/<kind>-<number>.dcm", with nothing of the patient in them. Error: internal_fault.
Result<std::vector<OutputFile>> render_dicom(const ReportModel& model, const Identity& identity, const std::vector<OutputFile>& report, const Moment& now);

}  // namespace perisclera::report
