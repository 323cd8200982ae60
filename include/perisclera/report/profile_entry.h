// SPDX-License-Identifier: Apache-2.0
#pragma once
// The profile across the wall through one element in one series, for the picture of it. Its numbers are its own, of one place of the element; the report's are of the whole.
#include <string>
#include <variant>

#include "perisclera/assemble/image_series.h"
#include "perisclera/core/eye.h"
#include "perisclera/measurement/wall_profile.h"

namespace perisclera::report {

struct ProfileEntry {
    std::string timepoint_id;         ///< of ReportModel::timepoints
    std::string series_uid;           ///< of that timepoint's series
    Modality modality;
    Eye eye;
    std::string element_id;
    std::variant<WallProfile, Unmeasured> profile;
};

}  // namespace perisclera::report
