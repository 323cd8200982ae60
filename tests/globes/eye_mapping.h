// SPDX-License-Identifier: Apache-2.0
#pragma once
// How one eye is carried from one series to another, and how far from where it truly lies there.
#include <functional>
#include <vector>

#include "perisclera/anatomy/globe.h"
#include "true_eye.h"

namespace perisclera::globes {

/// From a point in the first series to the same point of the eye in the second; rigid. Patient coordinates of either series, mm.
using Mapping = std::function<PatientPoint(PatientPoint)>;

/// By where one frame of the eye lies in either series.
Mapping mapping_between(const EyeFrame& first, const EyeFrame& second);

struct MappingError {
    std::vector<double> equator_mm;   ///< at each of equator_points
    double axis_deg;                  ///< between the mapped axis and the true one
    double torsion_deg;               ///< signed, about the axis, once the axis is put right
};
MappingError error_of(const Mapping& mapping, const TrueEye& first, const TrueEye& second);

/// By how much head and eye truly turn from one series to the other, degrees.
double turn_between(const TrueEye& first, const TrueEye& second);

}  // namespace perisclera::globes
