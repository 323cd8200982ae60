// SPDX-License-Identifier: Apache-2.0
#pragma once
// report.pdf: finding, main measurements, pictures and cautions, for the file of the patient.
#include "perisclera/core/result.h"
#include "perisclera/report/html.h"

namespace perisclera::report {

/// Error: internal_fault where the drawing library fails.
Result<std::string> to_pdf(const ReportModel& model, const Identity& identity, const Figures& figures, Paper paper);

}  // namespace perisclera::report
