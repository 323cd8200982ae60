// SPDX-License-Identifier: Apache-2.0
#pragma once
// What a thick element fills, followed on all series of the visit that share the eye's frame, CT and MR alike. Each cell of the grid is explained as the element mixed with
// fat, muscle or air, or without it, by what it shows on all of them at once; where both explain it equally well it says nothing, and the outline goes the shortest way
// between the places that do. What comes of it is one coherent body on the wall.
#include <optional>
#include <vector>

#include "perisclera/segmentation/element_fusion.h"

namespace perisclera {

struct BodyOutline {
    std::vector<ElementCell> cells;   ///< in the grid of the series the element was measured on, ordered by index
    double edge_seen;                 ///< share of its surface above the wall that some series shows, 0..1
};

/// `views`: of the eye, in one frame; `fellow`: of the other eye in the same series, nullptr where it is not shown; `element`: as it was found; `of_fellow`: elements of the
/// other eye, opposite which it says nothing of what is normal. Nothing where the series show too little of the element.
std::optional<BodyOutline> outline_of_body(const std::vector<const EyeView*>& views, const std::vector<const EyeView*>& fellow, const EyeElement& element,
                                           const std::vector<const FoundElement*>& of_fellow);

}  // namespace perisclera
