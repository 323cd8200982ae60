// SPDX-License-Identifier: Apache-2.0
#pragma once
// The profile across the wall of every element of an eye, in each series that shows it.
#include <string>
#include <vector>

#include "perisclera/report/report_model.h"
#include "visit_analysis.h"

namespace perisclera {

/// The series an element was measured on comes first. `ids`: of the eye's elements.
std::vector<report::ProfileEntry> wall_profiles(const AnalysedVisit& analysed, const Visit& visit, Eye eye, const std::vector<std::string>& ids, const std::string& timepoint);

}  // namespace perisclera
