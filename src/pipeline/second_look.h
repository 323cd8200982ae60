// SPDX-License-Identifier: Apache-2.0
#pragma once
#include "visit_analysis.h"

namespace perisclera {

/// Does a second look at an eye, by a globe fitted better, show what the first one did? The same elements, each of one material in its place in its series; or a ring where the
/// first look showed pieces along it, of its material or none that was told. `radius_mm`: of the globe in each view of the eye.
bool confirms(const std::vector<AnalysedElement>& first, const std::vector<AnalysedElement>& second, const std::vector<double>& radius_mm);

}  // namespace perisclera
