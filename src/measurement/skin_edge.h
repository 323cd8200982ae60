// SPDX-License-Identifier: Apache-2.0
#pragma once
// The blur of a CT by the edge of lids and skin against the air before the eye: a step of a thousand HU over a smooth surface, which thousands of lines cross, and which tells the
// scanner's kernel to some percent where single places of the wall of the eye tell it to a quarter; what it says of the wall is taken to be known to less (bare_wall.cpp).
#include <optional>

#include "perisclera/alignment/polar_block.h"

namespace perisclera {

/// Variances of the blur across an edge whose normal lies in the slices' plane, and across one along the slices' normal, mm2; in the polar grid, so interpolation is in them.
struct SkinBlur {
    double in_plane, along_slices;
    double along_slices_doubt;    ///< standard uncertainty of the second, relative to it
};

/// Nothing where no skin is seen against air, or its edge is no blurred step (kernels that overshoot).
std::optional<SkinBlur> blur_of_skin(const PolarBlock& block);

}  // namespace perisclera
