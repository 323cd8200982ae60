// SPDX-License-Identifier: Apache-2.0
#pragma once
// Metal on CT, and what its streaks make doubtful.
#include "perisclera/segmentation/element_finder.h"

namespace perisclera {

/// Does the element lie within 15 mm of metal (above 2500 HU, which bone never reaches), where dark streaks look like gas? CT only.
bool lies_beside_metal(const PolarBlock& ct, const FoundElement& element);

}  // namespace perisclera
