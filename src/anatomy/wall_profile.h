// SPDX-License-Identifier: Apache-2.0
#pragma once
// Where the outer sclera lies relative to the edge that an MR series shows. The edge alone does not say: bright vitreous (T2) ends at the
// wall's inner face, dark vitreous beside fat (T1) seems to end at its outer face, for the wall itself is dark. The signal's mean course
// across the wall is therefore compared with three layers - contents, a dark wall of known thickness, surroundings - seen through the
// blur of the series; thickness, blur and the wall's signal are integrated out.
#include <vector>

#include "perisclera/core/measured.h"

namespace perisclera {

/// Equidistant samples from the contents outwards.
struct WallProfile {
    double first_mm, step_mm;            ///< distance of the samples from the edge, positive outwards
    std::vector<double> signal;
    double fat;                          ///< orbital fat's signal in this series: what surrounds the wall may be muscle instead
};

struct OuterFace {
    double offset_mm;                    ///< of the outer sclera from the edge, positive outwards
    double uncertainty_mm;               ///< standard
};

/// Retina, choroid and sclera together. At the equator sclera 0.42 mm (Vurgese S et al., PLoS ONE 2012;7:e29692), retina and choroid about
/// 0.2 mm each (textbook); up to 1.4 mm at the posterior pole.
inline constexpr double usual_wall_mm = 0.9, usual_wall_spread_mm = 0.2;

/// least_blur_mm: standard deviation of the blur that the voxels alone bring. Precondition: samples on both sides of the edge.
OuterFace outer_face(const WallProfile& profile, double least_blur_mm);

}  // namespace perisclera
