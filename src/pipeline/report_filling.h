// SPDX-License-Identifier: Apache-2.0
#pragma once
// Puts what a visit's analysis found into the report's words.
#include "perisclera/report/report_model.h"
#include "visit_analysis.h"

namespace perisclera {

report::SeriesEntry series_entry(const SeriesDescription& description, const VoxelGrid* grid, bool used);
/// The role that the images gave where the header is silent.
void take_role_by_image(report::SeriesEntry& entry, SeriesRole role);

/// `ids`: one for each element of the eye.
report::EyeEntry eye_entry(const AnalysedVisit& analysed, const Visit& visit, Eye eye, const std::vector<std::string>& ids);

}  // namespace perisclera
