// SPDX-License-Identifier: Apache-2.0
#pragma once
// A thin encircling band on CT may stay below any single threshold; all round the globe it adds up.
#include <optional>

#include "candidate_regions.h"

namespace perisclera {

/// What a ring is looked for in.
struct RingSigns {
    const PolarBlock& block;
    const std::vector<float>& hat;   ///< how far each cell stands above its surroundings along the meridian, HU
    const PolarMask& excluded;       ///< bone, air, and their blur
    double least_signal;             ///< HU: darker is no silicone
};

/// The band along one circle all round the globe, but for what bone hides, as wide as what stands out beside its crest; nothing where there is none. `found`: pieces that show
/// by themselves; where a band shows in pieces they go round, or it is a segment.
std::optional<Candidate> ct_ring(const RingSigns& signs, const std::vector<Candidate>& found);

/// Adds the ring to what was found. Pieces of it that were found alone are the ring.
void stand_for_pieces(Candidate ring, std::vector<Candidate>& found);

}  // namespace perisclera
