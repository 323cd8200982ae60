// SPDX-License-Identifier: Apache-2.0
#pragma once
// The picture of a profile across the wall and the words beside it, which say all that the picture shows.
#include <string>

#include "perisclera/core/result.h"
#include "perisclera/report/report_model.h"

namespace perisclera::report {

/// Measured points, fitted curve and the layers without blur over the height above the sclera, edges named. Greys only. Errors: internal_fault.
/// Precondition: the entry holds a profile.
Result<std::string> render_profile(const ReportModel& model, const ProfileEntry& entry);

/// "R1, right eye, 2024-05-17, CT, ...: profile across the wall at 1.5 o'clock ...", with the fit's numbers; or why there is no fit.
std::string profile_in_words(const ReportModel& model, const ProfileEntry& entry);

/// "figures/profile-R1-t2-S3.png"; `series` is the label of the series on the page.
std::string profile_path(const ProfileEntry& entry, const std::string& series);

}  // namespace perisclera::report
