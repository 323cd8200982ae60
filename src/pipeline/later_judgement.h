// SPDX-License-Identifier: Apache-2.0
#pragma once
// Elements judged anew by what is known only once all of them stand where they are, or is not of the images: neither changes what was found nor how large it is.
#include "visit_analysis.h"

namespace perisclera {

/// Of each eye that shows gas outside its elements, these with that: it tells gas, wood and pus from explants.
void take_gas(AnalysedVisit& visit);

/// With these shares before any image is seen.
void judge_under(AnalysedVisit& visit, const PerClass& prior);

}  // namespace perisclera
