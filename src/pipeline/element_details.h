// SPDX-License-Identifier: Apache-2.0
#pragma once
// What is asked of each element of an eye once it stands which there are: where a ring's ends meet, and whether its rim is calcified.
#include "visit_analysis.h"

namespace perisclera {

/// Fills it in for all elements of this eye.
void tell_details(AnalysedVisit& visit, std::size_t which);

}  // namespace perisclera
