// SPDX-License-Identifier: Apache-2.0
#pragma once
// The front of the eye along its axis: vitreous, lens or implant or nothing, chamber, cornea under the lid. Their courses as seen through the series' blur are
// compared with the signal along the axis; the inner face of the cornea places the globe's centre along the axis, which the globe's sides do not.
// Patient frame, mm.
#include <optional>

#include "globe_fit.h"
#include "usual_lens.h"

namespace perisclera {

struct FrontOfEye {
    double cornea_mm;      ///< inner face of the cornea, along the axis from the globe's centre of the fit
    double uncertainty_mm; ///< standard
    LensKind lens;         ///< best explanation; no evidence by itself
};

/// Empty where the front lies outside the images or no cover stands out of the fluid behind it.
std::optional<FrontOfEye> front_of_eye(const VoxelGrid& grid, Modality modality, const GlobeFit& fit, PatientVector axis);

}  // namespace perisclera
