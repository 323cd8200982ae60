// SPDX-License-Identifier: Apache-2.0
#pragma once
// Does something lie against the wall of one eye that the other eye does not have there, whatever it may be? Too little to
// report an element by, since muscles and glands differ too; enough not to call an eye free of them.
// Three signs, each of a region against the wall near the equator, after the fellow eye's own spread within 2 to 3 mm:
//   T2 darker     far below anything there: silicone, or a hydrogel of little water
//   T2 brighter   above anything there: a hydrogel of much water
//   watery        CT shows soft tissue and T2 clearly more signal than soft tissue has: a hydrogel as bright as fat on T2. Fat and
//                 muscle mixed in one voxel show less on CT.
#include <vector>

#include "perisclera/alignment/eye_views.h"
#include "perisclera/segmentation/element_finder.h"

namespace perisclera {

/// `own` and `fellow`: the two eyes in the same series each, in the same order. `known` are the fellow's elements: what is unlike
/// them proves nothing.
bool shows_tissue_unlike_fellow(const std::vector<const EyeView*>& own, const std::vector<const EyeView*>& fellow, const std::vector<const FoundElement*>& known);

}  // namespace perisclera
