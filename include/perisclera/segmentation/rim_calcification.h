// SPDX-License-Identifier: Apache-2.0
#pragma once
// Calcium in the rim of a swollen body, on CT: patches at its outer face brighter than any silicone, which neither bone nor another element explains.
// Calcium lies in the capsule that grows round an old explant (common practice, no source), so that a rim which holds it is a capsule.
#include <vector>

#include "perisclera/segmentation/element_finder.h"

namespace perisclera {

/// Does the rim show calcium? Asked of bodies as dense as soft tissue only: silicone is bright itself. False says nothing: small patches, and all
/// that lies near bone, are not told. `fellow`: the other eye in the same series, which tells where bone usually lies; `others`: the other elements
/// of this eye, in the same frame; `kvp`: tube voltage.
bool shows_calcified_rim(const PolarBlock& ct, const PolarBlock& fellow, const FoundElement& element, const std::vector<const FoundElement*>& others,
                         double kvp);

}  // namespace perisclera
