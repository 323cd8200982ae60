// SPDX-License-Identifier: Apache-2.0
#pragma once
// report.json, format version 1, as docs/report.schema.json describes it.
// Numbers are rounded to the decimals that carry meaning (lengths, areas and hours 0.01, volumes, HU and percent 0.1,
// probabilities and fractions 0.0001), so that the bytes depend on nothing but the model; a number that is not finite
// becomes null, a measurement with one becomes "not measured". Text that is not UTF-8 is repaired with U+FFFD.
#include <string>

#include "perisclera/report/report_model.h"

namespace perisclera::report {

/// The whole file, ending in a line feed. Clock positions lie in [0, 12); their interval's bounds are not wrapped,
/// so that low <= value <= high always holds.
std::string to_json(const ReportModel& model);

}  // namespace perisclera::report
