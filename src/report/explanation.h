// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <string>

#include "perisclera/report/report_model.h"

namespace perisclera::report {

/// Why the material of this element is said, or not said, in one paragraph: what each series shows with its number and what that speaks for, what all say together, what
/// remains open; where CT or MR alone would have said something else, and where it was judged otherwise at an earlier visit, the reading that decides.
/// Series have the labels of the page: S1, S2, ... in the order of report.json.
std::string explanation(const ReportModel& model, const Timepoint& visit, Eye eye, const ElementEntry& element);

}  // namespace perisclera::report
