// SPDX-License-Identifier: Apache-2.0
#pragma once
// On CT only what separates soft tissues counts when globes are sought: bone and air are clipped, or their edges would drown the eye's.
#include <algorithm>

#include "perisclera/core/modality.h"

namespace perisclera {

inline constexpr double darkest_hu = -160.0, brightest_hu = 140.0;
inline double clipped(double value, Modality modality) { return modality == Modality::ct ? std::clamp(value, darkest_hu, brightest_hu) : value; }
/// As far as what fills a globe is to be told from fat and wall.
inline constexpr double darkest_filling_hu = -200.0, brightest_filling_hu = 200.0;
inline double clipped_filling(double value, Modality modality) { return modality == Modality::ct ? std::clamp(value, darkest_filling_hu, brightest_filling_hu) : value; }
/// From here on a CT number is no longer the same fluid's.
inline constexpr double departure_hu = 18.0;

}  // namespace perisclera
