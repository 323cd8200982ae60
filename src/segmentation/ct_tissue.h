// SPDX-License-Identifier: Apache-2.0
#pragma once
#include "polar_regions.h"

namespace perisclera {

/// Upper end of what muscle and gland show in this series of CT, HU (contrast agent raises it). `bones`: what is left out.
double soft_tissue_level(const PolarBlock& block, const PolarMask& bones);

/// Air outside and the skin of the lids next to it (about 3 mm), which is brighter than muscle.
PolarMask air_and_skin(const std::vector<float>& values);

}  // namespace perisclera
