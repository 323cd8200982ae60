// SPDX-License-Identifier: Apache-2.0
#pragma once
// Silicone shows on MR as a void, and between thick slices in pieces: a slice that runs along the wall holds as much muscle and fat as silicone. Pieces that lie on one
// circle are one element where no more than such slices, or a muscle's width, parts them.
#include <vector>

#include "perisclera/segmentation/element_fusion.h"

namespace perisclera {

/// The same elements, voids of one view that belong together as one. All the way round: closed_ring.
std::vector<EyeElement> joined_voids(std::vector<EyeElement> found, const std::vector<const EyeView*>& views);

}  // namespace perisclera
