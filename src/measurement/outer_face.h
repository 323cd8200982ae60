// SPDX-License-Identifier: Apache-2.0
#pragma once
// The outer face of an element as points in the coordinates of the series it was measured on. Each column's middle is told by its shares, which blur leaves in place; half the
// thickness above it lies the face. Along the meridian the face ends where the section does.
#include <vector>

#include "perisclera/measurement/element_measurements.h"

namespace perisclera {

struct FacePlace {
    PatientPoint point;
    PatientVector outward;   ///< away from the globe's centre, unit
};

/// `thickness_mm`: of the largest section as measured, by which that of the columns is corrected.
std::vector<FacePlace> outer_face(const PolarBlock& block, const FoundElement& element, const MeasuredSection& largest, double thickness_mm);

}  // namespace perisclera
