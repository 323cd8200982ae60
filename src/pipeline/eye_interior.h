// SPDX-License-Identifier: Apache-2.0
#pragma once
// What fills a globe, and its lens, by all series of a visit.
#include "visit_analysis.h"

namespace perisclera {

/// Writes contents and lens of one eye.
void judge_interior(AnalysedVisit& visit, std::size_t which);

}  // namespace perisclera
