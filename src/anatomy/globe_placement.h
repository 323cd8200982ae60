// SPDX-License-Identifier: Apache-2.0
#pragma once
// A globe's centre and shape to some 2 mm, by the sum over all directions of a clipped step across the wall. Clipping makes bone and fat worth no more than muscle, the sum
// makes noise harmless: this finds a globe whose wall no single ray shows. Contents that are two fluids, one floating on the other, are told apart, or the wall would be
// sought about one of them. Patient frame, mm.
#include "globe_fit.h"

namespace perisclera {

/// anterior: directions within 60 degrees of it meet lens, cornea or ciliary body and are left out.
GlobeFit place_globe(const VoxelGrid& grid, Modality modality, const GlobeCandidate& start, PatientVector anterior);

}  // namespace perisclera
