// SPDX-License-Identifier: Apache-2.0
#pragma once
// Where an element may begin under each column of the grid. The fitted sclera follows a dent by less than its depth; what is inside the eye tells the rest: where vitreous
// ends, a wall of known thickness lies between it and the element.
#include <vector>

#include "perisclera/alignment/eye_views.h"

namespace perisclera {

/// Height of the wall's outer face above the fitted sclera, mm, by columns of the view's grid (column() of columns.h), to some 0.3 mm. On MR, where the wall is a thin line of
/// its own against vitreous and element, and where CT does not show it: what the fit is usually off by.
std::vector<float> inner_faces(const EyeView& view);

}  // namespace perisclera
