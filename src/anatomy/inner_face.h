// SPDX-License-Identifier: Apache-2.0
#pragma once
// Where the wall of a globe ends inwards, from its outer face and the usual thickness of the wall.
#include "perisclera/anatomy/globe.h"

namespace perisclera {

/// mm from the globe's centre; direction: unit vector, patient coordinates.
inline double inner_radius_mm(const Globe& globe, PatientVector direction) {
    return globe.outer_radius_mm(direction) - wall_at_equator_mm - wall_thickening_mm(dot(direction, globe.frame.anterior()));
}

}  // namespace perisclera
