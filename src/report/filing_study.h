// SPDX-License-Identifier: Apache-2.0
#pragma once
// Which study of a visit its report is filed in: the one whose series most elements were measured on; where that does not tell, the one with the most used series; then the one
// whose UID comes first.
#include "perisclera/report/report_model.h"

namespace perisclera::report {

/// Nothing where the visit has no used series.
std::string filing_study_uid(const Timepoint& visit);

/// Under what the images of this study are filed; with the UID and the patient alone where they do not say.
StudyFiling filing_of(const Identity& identity, const std::string& study_uid);

}  // namespace perisclera::report
