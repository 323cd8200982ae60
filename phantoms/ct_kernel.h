// SPDX-License-Identifier: Apache-2.0
// How a CT reconstruction kernel blurs within the plane. Soft and bone kernels are round Gaussians (five scanners: Nickoloff 1985, Med Phys 12:437) of
// 1.2 mm and 0.6 mm full width at half maximum (half modulation at 0.37 and 0.71 cycles/mm: J Appl Clin Med Phys 2018, PMC6236841). The edge kernel
// takes a share of its surroundings away from each point: the difference of two Gaussians, no Gaussian itself, whose modulation transfer passes 1.
#pragma once

#include <vector>

#include "plane_filter.h"
#include "scenario.h"

namespace perisclera::phantoms {

/// Point spread: (1 + surround) times a round Gaussian of unit volume, minus `surround` times a wider one.
struct CtBlur {
    double sigma_mm, surround, surround_sigma_mm;
    /// Modulation transfer at this spatial frequency; 1 at 0.
    [[nodiscard]] double transfer(double cycles_per_mm) const;
};
CtBlur ct_blur(Kernel kernel);

/// The blur as weights of cells of this size around a pixel's centre; `cells_per_pixel` is even. The cell's own averaging counts as part of the blur.
std::vector<WeightedFilter> on_cells(const CtBlur& blur, double cell_mm, int cells_per_pixel);

}  // namespace perisclera::phantoms
