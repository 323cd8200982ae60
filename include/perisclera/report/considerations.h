// SPDX-License-Identifier: Apache-2.0
#pragma once
// What is published or common practice about findings such as these, for the reader to weigh: facts and ranges with
// their source, never an instruction. Which ones appear follows from the elements last seen in each eye: an element of
// undetermined material brings the facts on every material that was not excluded.
#include <vector>

#include "perisclera/report/report_model.h"

namespace perisclera::report {

/// In a fixed order, each at most once; empty where no element was seen.
std::vector<Consideration> considerations(const ReportModel& model);

}  // namespace perisclera::report
