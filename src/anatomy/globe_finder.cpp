// SPDX-License-Identifier: Apache-2.0
#include "perisclera/anatomy/globe_finder.h"

#include <algorithm>
#include <cmath>

#include "ball_test.h"
#include "centre_votes.h"
#include "face_surface.h"
#include "globe_evidence.h"
#include "layered_ball.h"
#include "mirror_likeness.h"
#include "perisclera/anatomy/directions.h"
#include "perisclera/core/quantile.h"
#include "prosthesis.h"
#include "soft_tissue.h"

namespace perisclera {

namespace {

/// A ball with a level inside, where none is seen without one.
GlobeCandidate layered_if_rounder(const VoxelGrid& grid, Modality modality, double scale, PatientPoint voted, const GlobeCandidate& plain) {
    constexpr double plainly_round = 0.6, least_roundness = 0.45, plainly_rounder = 0.1;
    constexpr PatientVector supine{0.0, 1.0, 0.0};
    if (plain.roundness >= plainly_round) return plain;
    const auto layered = test_layered_ball(soft_tissue_signals(grid, modality), voted, supine, modality == Modality::ct ? departure_hu : 2.5 * scale);
    if (!layered || layered->roundness < std::max(least_roundness, plain.roundness + plainly_rounder)) return plain;
    const auto& [inside, roundness, fluids] = *layered;
    GlobeCandidate candidate{inside.centre, Mm(inside.radius), fluids.main(), fluids.spread, roundness, false, true};
    candidate.shell = shell_of(grid, modality, inside.centre, inside.radius, scale);
    return candidate;
}

/// Fat, bone, and what is as dense: water, oil, gas, heavy liquid (585 HU, row 2.11 of the table of reference values) and blood fill eyes, those do not (common practice,
/// no source).
bool fills_no_eye(const VoxelGrid& grid, const GlobeCandidate& c) {
    constexpr double least_fat_hu = -150.0, most_fat_hu = -20.0, even_hu = 30.0, densest_hu = 800.0, uneven_hu = 60.0;
    if (c.layered) return false;
    if (c.interior_mean > least_fat_hu && c.interior_mean < most_fat_hu && c.interior_spread < even_hu) return true;
    if (c.interior_mean < brightest_hu) return false;
    std::vector<double> inside;
    for (const double r : {2.0, 4.0, 6.0})
        for (const PatientVector& d : even_directions<PatientLps>(20)) inside.push_back(static_cast<double>(grid.sample(c.centre + d * r)));
    const double middle = quantile(inside, 0.5);
    for (double& v : inside) v = std::abs(v - middle);
    return middle > densest_hu || quantile(std::move(inside), 0.5) > uneven_hu;
}

/// No brighter than air before the face. On MR less than a small share of the brightest tissue is nothing either, since some scanners set air to 0; of two fluids one shows.
bool shows_nothing(const GlobeCandidate& c, Modality modality, std::optional<double> air, double scale) {
    constexpr double above_air = 1.15, share_of_scale = 0.65;
    if (modality == Modality::ct) return c.interior_mean <= darkest_hu;
    return !c.layered && c.interior_mean < std::max(above_air * air.value_or(0.0), share_of_scale * scale);
}

std::vector<GlobeCandidate> candidates_in(const VoxelGrid& grid, Modality modality, const CoarseBlock& block) {
    constexpr double same_mm = 2.0;
    const double scale = edge_scale(block, modality);
    const FaceSurface face(block, modality);
    std::vector<GlobeCandidate> candidates;
    for (const VotedCentre& voted : voted_centres(block, scale)) {
        GlobeCandidate c = layered_if_rounder(grid, modality, scale, voted.centre, test_ball(grid, modality, voted.centre, scale));
        if (std::any_of(candidates.begin(), candidates.end(), [&](const GlobeCandidate& k) { return length(k.centre - c.centre) < same_mm; })) continue;
        if (modality == Modality::ct && fills_no_eye(grid, c)) continue;
        c.votes = voted.votes;
        c.behind_skin_mm = face.depth_of(c.centre);
        c.without_signal = shows_nothing(c, modality, face.air_signal(), scale);
        if (modality == Modality::ct && c.without_signal) c.bone_round = bone_round(grid, c);
        candidates.push_back(c);
    }
    std::stable_sort(candidates.begin(), candidates.end(), [](const GlobeCandidate& a, const GlobeCandidate& b) { return evidence_for(a) > evidence_for(b); });
    return candidates;
}

}  // namespace

std::vector<GlobeCandidate> globe_candidates(const VoxelGrid& grid, Modality modality) { return candidates_in(grid, modality, coarse_copy(grid, modality)); }

GlobeSearch search_globes(const VoxelGrid& grid, Modality modality) {
    const CoarseBlock block = coarse_copy(grid, modality);
    GlobeSearch search{candidates_in(grid, modality, block), {}};
    search.globes = pair_of_globes(search.candidates, modality, [&block](PatientPoint right, PatientPoint left) { return mirror_likeness(block, right, left); });
    if (modality != Modality::mr || !search.globes.right || !search.globes.left) return search;
    const PatientVector ahead = unit(cross(search.globes.left->centre - search.globes.right->centre, {0, 0, 1}));
    for (auto* globe : {&search.globes.right, &search.globes.left})
        if (is_sphere_behind_prosthesis(grid, **globe, ahead, edge_scale(block, modality))) globe->reset();
    return search;
}

FoundGlobes find_globes(const VoxelGrid& grid, Modality modality) { return search_globes(grid, modality).globes; }

}  // namespace perisclera
