// SPDX-License-Identifier: Apache-2.0
#pragma once
// Sentences on mechanisms that page and PDF share.
#include <string>

#include "perisclera/report/mechanisms.h"

namespace perisclera::report {

/// "Fits.", "Does not fit.", "Not told."
std::string fit_in_words(Fit fit);
/// The examiner's findings in one paragraph, or that none were given.
std::string findings_in_words(const ReportModel& model);

}  // namespace perisclera::report
