// SPDX-License-Identifier: Apache-2.0
#pragma once
// Finds the globes in one series without training data and whatever the contrast: an eye is a ball of 9 to 14 mm
// radius with an even inside, and two of them stand side by side. Step 1, every edge votes for the centres of balls
// whose surface it could be (Hough transform: Ballard DH, Pattern Recognition 1981;13:111-122); step 2, rays from
// each voted centre ask where the inside ends; step 3, the best pair by evenness, roundness and distance.
#include <optional>
#include <vector>

#include "perisclera/assemble/image_series.h"
#include "perisclera/core/eye.h"

namespace perisclera {

/// A ball that may be a globe. Patient coordinates of the series it was found in.
struct GlobeCandidate {
    PatientPoint centre;
    Mm inner_radius;         ///< where the even inside ends
    double interior_mean;    ///< HU or MR signal
    double interior_spread;  ///< robust standard deviation inside
    double roundness;        ///< share of rays that end on one common sphere, 0..1
    bool beyond_tissue = false;  ///< CT: as dark as gas or as bright as bone throughout: a sinus, or an eye filled after surgery
    bool layered = false;    ///< two fluids, one floating on the other; the interior's figures are those of the larger part
};

struct FoundGlobes {
    std::optional<GlobeCandidate> right, left;
};

/// Every ball that may be a globe, best first.
std::vector<GlobeCandidate> globe_candidates(const VoxelGrid& grid, Modality modality);

/// The best pair of globes among them, since a single ball may be much else; without a pair two empty places.
FoundGlobes pair_of_globes(const std::vector<GlobeCandidate>& candidates);

/// Both in one.
FoundGlobes find_globes(const VoxelGrid& grid, Modality modality);

}  // namespace perisclera
