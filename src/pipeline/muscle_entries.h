// SPDX-License-Identifier: Apache-2.0
#pragma once
// The recti of one eye of a visit, each from the series that shows it best, as the report holds them.
#include <vector>

#include "perisclera/alignment/eye_views.h"
#include "perisclera/report/report_model.h"

namespace perisclera {

/// `views`: the series of the visit that show this eye; `elements`: what was found round it, which is held against where the muscles
/// are known to insert, since no tendon shows on these scans.
std::array<report::MuscleEntry, 4> muscle_entries(const std::vector<const EyeView*>& views, const std::vector<report::ElementEntry>& elements, Eye eye);

}  // namespace perisclera
