// SPDX-License-Identifier: Apache-2.0
#pragma once
// One globe where no pair is: the images end beside it, or the other eye is missing. A single ball may be much else, so more is
// asked of it than of either of a pair: rounder, filled, and air close before it, as behind lids only an eye has. Which eye it
// is follows from the head round it: the near temple on one side, air in nose and ethmoid cells on the other. An offset from the
// scanner's middle is no proof.
#include <optional>
#include <vector>

#include "perisclera/anatomy/globe_finder.h"
#include "perisclera/core/eye.h"

namespace perisclera {

struct LoneGlobe {
    GlobeCandidate globe;
    std::optional<Eye> side;  ///< empty where the images hold too little of the head to tell
};

/// `candidates`: of this series, best first, holding no pair. Empty where none passes, or where two do and it is not known which.
std::optional<LoneGlobe> find_lone_globe(const VoxelGrid& grid, Modality modality, const std::vector<GlobeCandidate>& candidates);

/// Do the images hold the place where the fellow of this globe would be? `eye`: which one this globe is.
bool fellow_place_is_imaged(const VoxelGrid& grid, Eye eye, const GlobeCandidate& globe);

}  // namespace perisclera
