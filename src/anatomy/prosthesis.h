// SPDX-License-Identifier: Apache-2.0
#pragma once
// On MR a sphere in the place of an eye can look like an eye filled with gas, blood or oil. Before it lies a prosthesis of acrylic glass, a shell without signal some
// 2 mm thick between socket and lids (common practice, no source); before an eye there is no such gap.
#include "perisclera/anatomy/globe_finder.h"

namespace perisclera {

/// `scale`: edge_scale of the series; `ahead`: a unit vector.
bool is_sphere_behind_prosthesis(const VoxelGrid& grid, const GlobeCandidate& ball, PatientVector ahead, double scale);

}  // namespace perisclera
