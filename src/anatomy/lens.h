// SPDX-License-Identifier: Apache-2.0
#pragma once
// The lens, or a lens implant, as what departs from vitreous in the front of the globe. Nothing where it cannot be told. Patient frame, mm.
#include <optional>

#include "surface_fit.h"

namespace perisclera {

/// From the globe's centre towards it.
std::optional<PatientVector> lens_direction(const VoxelGrid& grid, const Fit& fit, PatientVector straight_ahead);

/// Its middle along the axis, from the mean signal of discs across it.
std::optional<LensPlace> lens_place(const VoxelGrid& grid, const Fit& fit, PatientVector axis);

}  // namespace perisclera
