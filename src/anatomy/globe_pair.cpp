// SPDX-License-Identifier: Apache-2.0
// Which two balls are the eyes: one beside the other, as far apart as eyes are, at like depth, in a head that is mirrored about the plane between them.
#include <algorithm>
#include <cmath>

#include "globe_evidence.h"
#include "perisclera/anatomy/globe_finder.h"

namespace perisclera {

namespace {

/// One eye may hold gas, oil or heavy liquid; both at one time do not (common practice, no source), while sinuses come in pairs.
bool is_out_of_the_usual(const GlobeCandidate& c) { return c.beyond_tissue || c.layered || c.without_signal; }

double unlike_depth(const GlobeCandidate& a, const GlobeCandidate& b) {
    constexpr double spread_mm = 3.0, worst = 4.5;
    if (!a.behind_skin_mm || !b.behind_skin_mm) return 0.0;
    const double off = (*a.behind_skin_mm - *b.behind_skin_mm) / spread_mm;
    return std::min(worst, 0.5 * off * off);
}

}  // namespace

double evidence_of_mirror(std::optional<double> likeness) {
    constexpr double weight = 6.0, alike = 0.85;
    return -weight * std::max(0.0, alike - likeness.value_or(alike));
}

/// Interpupillary distances of adults lie between 51 and 77 mm (ANSUR, Gordon CC et al. 1989), less in children.
std::optional<double> evidence_for_pair(const GlobeCandidate& right, const GlobeCandidate& left) {
    constexpr double nearest_mm = 44.0, farthest_mm = 80.0, usual_mm = 62.0, spread_mm = 7.0, both_out_of_the_usual = 2.5;
    // One of two may be filled in part, bulge or shrink; hardly both.
    constexpr double plainness_weight = 4.0, plainly_round = 0.7;
    constexpr double cosine_of_most_turned = 0.7;   // 30 degrees about two axes, and eyes not quite level
    const PatientVector apart = left.centre - right.centre;
    const double distance = length(apart), off = (distance - usual_mm) / spread_mm;
    if (distance < nearest_mm || distance > farthest_mm || apart.x < cosine_of_most_turned * distance) return std::nullopt;
    return evidence_for(right) + evidence_for(left) - 0.5 * off * off - unlike_depth(right, left) -
           (is_out_of_the_usual(right) && is_out_of_the_usual(left) ? both_out_of_the_usual : 0.0) -
           plainness_weight * std::max(0.0, plainly_round - std::max(right.roundness, left.roundness));
}

FoundGlobes pair_of_globes(const std::vector<GlobeCandidate>& candidates, Modality modality, const MirrorLikeness& likeness) {
    constexpr double least = -3.5;
    double best = least;
    FoundGlobes found;
    for (const GlobeCandidate& right : candidates)
        for (const GlobeCandidate& left : candidates) {
            const auto without_mirror = evidence_for_pair(right, left);
            if (!without_mirror || *without_mirror <= best) continue;
            const double evidence = *without_mirror + evidence_of_mirror(likeness ? likeness(right.centre, left.centre) : std::nullopt);
            if (evidence > best) best = evidence, found.right = right, found.left = left;
        }
    if (!found.right) return found;
    if (!stands_for_a_globe(*found.right, modality)) found.right.reset();
    if (!stands_for_a_globe(*found.left, modality)) found.left.reset();
    return found;
}

}  // namespace perisclera
