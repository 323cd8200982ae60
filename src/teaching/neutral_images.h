// SPDX-License-Identifier: Apache-2.0
#pragma once
// Pictures that show every eye in the same planes whatever was found: through the globe's centre, along the patient's own axes.
#include <vector>

#include "perisclera/report/report_model.h"

namespace perisclera::teaching {

/// Of each series that shows a globe, in the order of visits and series; for each eye axial, coronal and sagittal.
std::vector<report::KeyImage> neutral_images(const report::ReportModel& model, const PatientStudies& patient);

}  // namespace perisclera::teaching
