// SPDX-License-Identifier: Apache-2.0
#pragma once
// Bone close beyond an element on CT: in thick slices it shares voxels with the element and hides part of it.
#include "perisclera/alignment/polar_block.h"
#include "perisclera/segmentation/element_finder.h"

namespace perisclera {

/// What bone leaves in doubt of an element's bulk and thickness: a relative standard uncertainty, by the share of its columns with bone less than a slice beyond its outer face. Nothing
/// of an element not seen on CT by itself.
double doubt_beside_bone(const PolarBlock& block, const FoundElement& element);

}  // namespace perisclera
