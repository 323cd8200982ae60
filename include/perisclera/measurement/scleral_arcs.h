// SPDX-License-Identifier: Apache-2.0
#pragma once
// Arcs on the outer sclera, where another series of the eye shows that surface better than the one the element was measured on.
#include "perisclera/measurement/element_measurements.h"

namespace perisclera {

/// The same angles about the eye's centre as arcs on a sclera of radius `better_mm` at the equator instead of `own_mm`: widths and distances from the limbus. Lengths through
/// the element itself stay.
ElementMeasurements with_arcs_on(ElementMeasurements measured, double own_mm, double better_mm);

}  // namespace perisclera
