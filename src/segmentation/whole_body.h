// SPDX-License-Identifier: Apache-2.0
#pragma once
// A bright body may be thicker than what is looked for on the wall.
#include "candidate_regions.h"
#include "polar_regions.h"

namespace perisclera {

/// What tells how far a bright body on CT goes on outwards.
struct BodySurroundings {
    const PolarBlock& block;
    const std::vector<float>& normal;   ///< HU, by cell: what the fellow eye shows near the same place; -1000 without one
    const PolarMask& excluded;          ///< bone, air and skin
    double soft_hu;                     ///< upper end of what muscle and gland show, where no element counts with them
};

/// Where most of a body found on the wall goes on outwards as bright as itself, takes in all of it, to half way between its own signal and soft tissue's. One no brighter
/// than that tissue by 30 HU stays as it is.
void take_whole_body(const BodySurroundings& around, Candidate& body);

}  // namespace perisclera
