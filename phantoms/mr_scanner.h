// SPDX-License-Identifier: Apache-2.0
#pragma once
// An MR scanner's view of the synthesised head. Every small piece of the slice sends its sequence's signal at its own frequency: fat's and
// silicone's chemical shift and the field around gas move it along the frequency direction, dephase it where a gradient echo is read, and
// make fat saturation fail. Sampled in k-space with complex noise, so that the magnitude is Rician; shaded by the coil.
// Not simulated: distortion of the slice's own profile, decay within a train (the point spread of fast spin echoes), wrapped images.
#include "scanner.h"

namespace perisclera::phantoms {

/// MR stored units. The result does not depend on `threads`. Precondition: no CT; each drawn_together with the first.
std::vector<VoxelGrid> acquire_mr(const std::vector<Scan>& together, const VolumeGeometry& geometry, unsigned threads);

}  // namespace perisclera::phantoms
