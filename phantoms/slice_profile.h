// SPDX-License-Identifier: Apache-2.0
#pragma once
// What a slice is the average of: a box of its thickness, softened at both faces.
#include <vector>

namespace perisclera::phantoms {

struct SliceDepth {
    double offset_mm;  ///< from the slice's middle plane
    double weight;     ///< all weights add up to 1
};

/// Their number is a multiple of `group`.
std::vector<SliceDepth> slice_profile(double thickness_mm, int group = 1);

}  // namespace perisclera::phantoms
