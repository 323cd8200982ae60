// SPDX-License-Identifier: Apache-2.0
#pragma once
// A visit looked at once, with globes and frames as they are: what lies on each globe, measured and judged.
#include "visit_analysis.h"

namespace perisclera {

/// All of a visit but what is asked once it stands where elements are: what is unlike the other eye, and signs of inflammation.
AnalysedVisit look_at(std::vector<SeriesViews> views, int threads);

}  // namespace perisclera
