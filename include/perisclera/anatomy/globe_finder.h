// SPDX-License-Identifier: Apache-2.0
#pragma once
// Finds the globes in one series without training data and whatever the contrast. Step 1, every edge votes for the centres of balls whose surface it could be; step 2, rays
// from each voted centre ask where the inside ends and whether a shell stands there, and how far behind the skin of the face it lies; step 3, the best pair by all that, by
// their distance, and by how well the plane between them mirrors the head; step 4, is each of the two a globe, or one of them something in its place?
#include <functional>
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
    double votes = 1.0;      ///< of edges that could be its surface, against the most voted place of the series, 0..1
    double shell = 1.0;      ///< share of a full-strength edge about its surface, 0..1
    std::optional<double> behind_skin_mm{};  ///< the centre's depth below the nearest skin of the face; empty where no face is imaged
    bool without_signal = false;             ///< as dark as air inside: a sinus, a plastic sphere, or an eye filled with gas
    double bone_round = 0.0;                 ///< where CT shows gas inside: share of directions with bone close round it
};

struct FoundGlobes {
    std::optional<GlobeCandidate> right, left;
};

/// How alike the halves of the head are that two places part (right, left), -1..1; empty where the images do not tell.
using MirrorLikeness = std::function<std::optional<double>(PatientPoint, PatientPoint)>;

/// Every ball that may be a globe, best first.
std::vector<GlobeCandidate> globe_candidates(const VoxelGrid& grid, Modality modality);

/// The best pair among them, since a single ball may be much else; of it what is a globe, so one alone where the other is something in a globe's place. Without a pair two
/// empty places.
FoundGlobes pair_of_globes(const std::vector<GlobeCandidate>& candidates, Modality modality, const MirrorLikeness& likeness = {});

/// Both in one.
struct GlobeSearch {
    std::vector<GlobeCandidate> candidates;
    FoundGlobes globes;
};
GlobeSearch search_globes(const VoxelGrid& grid, Modality modality);
FoundGlobes find_globes(const VoxelGrid& grid, Modality modality);

}  // namespace perisclera
