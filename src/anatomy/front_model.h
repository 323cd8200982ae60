// SPDX-License-Identifier: Apache-2.0
#pragma once
// The front of the eye fitted as one body about its axis: chamber, lens or implant or nothing, ciliary body and the wall of sclera and cornea, each of one signal, seen
// through the series' blur; what lies before the wall differs from direction to direction. Axis, cornea and lens are moved together until the least of the signal is left
// unexplained. Patient frame, mm.
#include <optional>

#include "globe_fit.h"

namespace perisclera {

struct FrontModel {
    PatientVector axis;             ///< unit vector from the globe's centre forwards
    double axis_uncertainty_deg;    ///< standard, of each of its two components; what rivals nearly as good would say is in it
};

/// Wide: from several axes round the start, which may be 20 degrees off. Near: from the start alone.
enum class FrontSearch { wide, near };

/// `ahead`: where an eye usually looks; the cornea is expected at `cornea_mm` from the fit's centre. Empty where less than two thirds of the front lie in the images.
std::optional<FrontModel> fit_front(const VoxelGrid& grid, Modality modality, const GlobeFit& fit, PatientVector start, PatientVector ahead, double cornea_mm, FrontSearch search);

}  // namespace perisclera
