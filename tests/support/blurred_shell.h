// SPDX-License-Identifier: Apache-2.0
#pragma once
// A shell round the whole globe, blurred in closed form, sampled by voxels with noise.
#include "perisclera/alignment/polar_block.h"

namespace perisclera::test {

struct BlurredShell {
    double thickness, value, blur;   ///< mm, signal, standard deviation in mm
    static constexpr double radius = 12.0, vitreous = 8.0, wall = 45.0, fat = -90.0, wall_mm = 0.82;

    [[nodiscard]] double at(double distance_from_centre_mm) const;
    /// Voxels of 0.5 mm, to 6 mm beyond the sclera.
    [[nodiscard]] PolarBlock seen(double noise, unsigned seed) const;
};

}  // namespace perisclera::test
