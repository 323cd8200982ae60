// SPDX-License-Identifier: Apache-2.0
#pragma once
// The eyes in space as still pictures. Another program draws the surfaces; labels, scale and caption are put on here. Where no surfaces
// come back the report does without these pictures, and says nothing else that depends on them.
#include <functional>
#include <string>
#include <vector>

#include "perisclera/report/report_model.h"
#include "perisclera/scene/scene.h"

namespace perisclera::report {

/// One for each eye with an element at its current visit.
std::vector<scene::Scene> still_scenes(const ReportModel& model);

/// The drawn surfaces, one for each of still_scenes(), or none; asked once, as late as can be.
using DrawnScenes = std::function<std::vector<scene::GreyPicture>()>;

/// A finished picture.
struct EyeStill {
    Eye eye;
    std::string timepoint_id, png;
};
/// Error: internal_fault where the drawing library fails.
Result<std::vector<EyeStill>> eye_stills(const ReportModel& model, const std::vector<scene::GreyPicture>& drawn);

}  // namespace perisclera::report
