// SPDX-License-Identifier: Apache-2.0
#pragma once
// Was an element that became smaller cut away in part, or did it shrink?
#include "perisclera/measurement/element_measurements.h"

namespace perisclera {

/// Is `after` a part of `before`, the rest of which was taken away? So it is where it is shorter along the limbus (at 99 %), the length lost explains the volume lost
/// (at 95 %) and a loss alike in all directions would not, and what is left lies within where it lay, with the same edges and as thick (at 95 %). False where any of
/// these was not measured, where a ring is left and for radial elements, whose ends tell nothing.
/// `volume_uncertainty`: of the logarithm of the volumes' ratio, as they are compared. Precondition: both volumes are measured and positive.
bool is_remnant(const ElementMeasurements& before, const ElementMeasurements& after, double volume_uncertainty);

}  // namespace perisclera
