// SPDX-License-Identifier: Apache-2.0
#pragma once
// A finished result as the clinic's register keeps it.
#include "perisclera/assemble/image_series.h"
#include "perisclera/register/register_entry.h"
#include "perisclera/report/report_model.h"

namespace perisclera {

/// `result_digest`: of report.json. `eye`: the only one asked for; nothing: both. Name and patient ID come along `with_identity` only.
RegisterEntry entry_for_register(const report::ReportModel& model, const PatientStudies& patient, std::string result_digest, std::optional<Eye> eye, bool with_identity);

}  // namespace perisclera
