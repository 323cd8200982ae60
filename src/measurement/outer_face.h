// SPDX-License-Identifier: Apache-2.0
#pragma once
// The outer face of an element as points in the coordinates of the series it was measured on. Each column's middle is told by its shares, which blur
// leaves in place; half the thickness above it lies the face. What is of one make, moulded or a rod, is the same all along: what single columns add
// or lack counts for nothing there.
#include <vector>

#include "perisclera/measurement/element_measurements.h"

namespace perisclera {

struct FacePlace {
    PatientPoint point;
    PatientVector outward;  ///< away from the globe's centre, unit
};

/// By the thickness that was measured, where the columns' own differs. Precondition: the thickness of the largest section is measured.
std::vector<FacePlace> outer_face(const PolarBlock& block, const FoundElement& element, const ElementMeasurements& measured);

}  // namespace perisclera
