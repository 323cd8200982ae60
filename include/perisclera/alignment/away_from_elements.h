// SPDX-License-Identifier: Apache-2.0
#pragma once
// Globes as they would lie without what was found on them. An element dents the wall, and on MR hides it, so that a surface fitted to all of the wall is drawn inwards and aside;
// once its place is known the surface is fitted again to the wall elsewhere, with the other eye for the size.
#include <array>
#include <vector>

#include "perisclera/alignment/covered_sclera.h"
#include "perisclera/alignment/eye_views.h"

namespace perisclera {

/// `visit`: brought into one frame; `grids`: of each series, in the same order; `covered`: right, left. An eye that nothing covers stays, and so do views kept apart.
/// The others move together, by what their series tell, so that they keep one frame; axes stay.
void fit_away_from_elements(std::vector<SeriesViews>& visit, const std::vector<const VoxelGrid*>& grids, const std::array<CoveredSclera, 2>& covered);

}  // namespace perisclera
