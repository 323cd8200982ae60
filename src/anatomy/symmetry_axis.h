// SPDX-License-Identifier: Apache-2.0
#pragma once
// The eye's axis as the line about which its front is built alike all round: lens or implant, iris, ciliary body and chamber are rings about it, whatever
// their contrast, and an eye without a lens keeps the others. Patient frame, mm.
#include <optional>

#include "globe_fit.h"

namespace perisclera {

struct SymmetryAxis {
    PatientVector direction;   ///< unit vector from the globe's centre forwards
    double explained;          ///< share of the signal's variance in front of the centre that rings about the axis explain, 0..1
};

/// Searches within 35 degrees of `straight_ahead`. Empty where the front of the globe lies outside the images or
/// nothing in it stands out of an even filling.
std::optional<SymmetryAxis> symmetry_axis(const VoxelGrid& grid, Modality modality, const GlobeFit& fit, PatientVector straight_ahead);

}  // namespace perisclera
