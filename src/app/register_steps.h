// SPDX-License-Identifier: Apache-2.0
#pragma once
// What identify and track do about --register; nothing where it is not given.
#include <optional>

#include "commands.h"
#include "perisclera/assemble/image_series.h"
#include "perisclera/report/report_model.h"

namespace perisclera::app {

/// Before the work: whether an entry could be written. Changes nothing. Errors: those of PatientRegister, usage (the register lies in the output folder), output_inside_input.
std::optional<Error> register_refused(const Options& options);

/// Whether the images say whom they show. Error: bad_value.
std::optional<Error> register_cannot_tell(const Options& options, const PatientStudies& patient);

/// Once the report is in its place. Returns `status`, or that of what went wrong.
int enter_in_register(const Options& options, const report::ReportModel& model, const PatientStudies& patient, int status, const Console& console);

}  // namespace perisclera::app
