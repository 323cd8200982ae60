// SPDX-License-Identifier: Apache-2.0
#pragma once
// One frame for each eye of a visit: what has one place in it is one place of the eye in every series.
#include <vector>

#include "perisclera/alignment/eye_alignment.h"
#include "perisclera/alignment/eye_views.h"

namespace perisclera {

/// As the eye is aligned: a filled globe as if it held vitreous. Refers to both.
EyeInSeries in_series(const EyeView& view, const VoxelGrid& grid);

/// The series whose axis is surest leads; the others' eyes are brought to it, the axes that all of them tell are averaged by their certainty, and every block is
/// sampled anew. A series that cannot be brought there keeps its own frame, and its problems say so. `grids`: of each series, in the views' order.
void bring_into_one_frame(std::vector<SeriesViews>& visit, const std::vector<const VoxelGrid*>& grids, int threads = 1);

}  // namespace perisclera
