// SPDX-License-Identifier: Apache-2.0
#pragma once
// The lines and surfaces of what was found round an eye, from the elements' shares of the polar grid.
#include "perisclera/report/eye_shape.h"
#include "visit_analysis.h"

namespace perisclera {

/// `ids`: one for each element of the eye. Precondition: some series shows the eye. Globe and muscles are those of the series on which the first element
/// was measured, or else of the first series; each element's own lines stay with its own series.
report::EyeShape eye_shape(const AnalysedVisit& analysed, Eye eye, const std::vector<std::string>& ids, const std::string& timepoint);

}  // namespace perisclera
