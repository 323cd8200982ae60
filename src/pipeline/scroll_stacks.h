// SPDX-License-Identifier: Apache-2.0
#pragma once
// The slices of each series round an eye, as acquired, with the elements' outlines.
#include "perisclera/report/scroll_stack.h"
#include "visit_analysis.h"

namespace perisclera {

/// One for each series that shows the eye, in their order. `ids`: one for each element of the eye. Outlines are drawn on the series the element was measured
/// on and, by the eye's own frame, on every other that shares it.
std::vector<report::ScrollStack> scroll_stacks(const AnalysedVisit& analysed, const Visit& visit, Eye eye, const std::vector<std::string>& ids, const std::string& timepoint);

}  // namespace perisclera
