// SPDX-License-Identifier: Apache-2.0
#pragma once
// Every edge votes for the centres of balls whose surface it could be (Hough transform: Ballard DH, Pattern Recognition 1981;13:111-122), whichever side is the
// brighter, so that a ball between fat on one side and muscle on the other gathers all its votes. In drawn heads and real ones a globe is among the four most voted
// places as a rule, and among the dozen always.
#include <vector>

#include "coarse_block.h"

namespace perisclera {

struct VotedCentre {
    PatientPoint centre;
    double votes;   ///< against the most voted one of the series, 0..1
};

/// Most voted first. `scale`: edge_scale of the block.
std::vector<VotedCentre> voted_centres(const CoarseBlock& block, double scale);

}  // namespace perisclera
