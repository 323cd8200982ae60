// SPDX-License-Identifier: Apache-2.0
#pragma once
// report.pdf as an Encapsulated PDF object (PS3.3 A.45.1), in the study where the last visit's report is filed.
#include <string>

#include "perisclera/core/result.h"
#include "perisclera/report/moment.h"
#include "perisclera/report/report_model.h"

namespace perisclera::report {

/// Precondition: the model has a visit with used series. Error: internal_fault.
Result<std::string> encapsulated_report_bytes(const ReportModel& model, const Identity& identity, const std::string& pdf, const Moment& now);

}  // namespace perisclera::report
