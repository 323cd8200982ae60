// SPDX-License-Identifier: Apache-2.0
#pragma once
// An element that one date shows as one and another in pieces: the pieces are taken together there, so that one element is compared with one.
#include "visit_analysis.h"

namespace perisclera {

/// In each visit, what lies in pieces where another visit shows one element of the same look: found in one series, of a material that the whole may be. Visits are judged as they were
/// given; nothing happens where there is one.
void join_pieces(std::vector<AnalysedVisit>& visits);

}  // namespace perisclera
