// SPDX-License-Identifier: Apache-2.0
#pragma once
// What share of each cell in and about a candidate region the element fills: its departure from what surrounds it towards its own signal.
#include "candidate_regions.h"

namespace perisclera {

/// The candidate as an element, with shares. `kvp`: of CT; elsewhere unused.
FoundElement with_shares(const PolarBlock& block, const Candidate& candidate, Appearance appearance, double kvp);

}  // namespace perisclera
