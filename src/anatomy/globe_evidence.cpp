// SPDX-License-Identifier: Apache-2.0
#include "globe_evidence.h"

#include <algorithm>
#include <cmath>

namespace perisclera {

namespace {

/// By depth behind the skin: lids on the globe (common practice, no source), give or take the coarse block's step.
double evidence_of_depth(const std::optional<double>& behind_skin_mm) {
    constexpr double usual_mm = 14.5, usual_spread_mm = 1.5, spread_mm = 2.5, unknown = -0.5, worst = -4.5;
    if (!behind_skin_mm) return unknown;
    const double off = std::max(0.0, std::abs(*behind_skin_mm - usual_mm) - usual_spread_mm) / spread_mm;
    return std::max(worst, -0.5 * off * off);
}

double evidence_of_darkness(const GlobeCandidate& c) {
    constexpr double seldom = -1.5, seldom_on_ct = -0.5, bone_weight = 4.0, some_bone = 0.2;
    if (!c.without_signal) return c.beyond_tissue ? seldom_on_ct : 0.0;
    return c.beyond_tissue ? seldom_on_ct - bone_weight * std::max(0.0, c.bone_round - some_bone) : seldom;
}

}  // namespace

double evidence_for(const GlobeCandidate& c) {
    constexpr double roundness_weight = 0.7, not_round = 0.15, shell_weight = 2.0, least_shell = 0.2, least_votes = 1e-3;
    return std::log(std::max(c.votes, least_votes)) + roundness_weight * std::log(not_round + c.roundness) + shell_weight * std::log(std::max(c.shell, least_shell)) +
           evidence_of_depth(c.behind_skin_mm) + evidence_of_darkness(c);
}

bool stands_for_a_globe(const GlobeCandidate& c, Modality modality) {
    constexpr double wide_mm = 12.3, wide_mm_mr = 12.6, half_round = 0.5, most_voted = 0.9, hardly_round = 0.35, less_voted = 0.65, least_muscle_hu = 25.0, most_muscle_hu = 45.0;
    if (c.layered) return true;
    const double r = c.inner_radius.value();
    if (modality == Modality::ct) return !(r > wide_mm && c.interior_mean > least_muscle_hu && c.interior_mean < most_muscle_hu);
    if (c.roundness < hardly_round && c.votes < less_voted) return false;
    return !(r > wide_mm_mr && c.roundness < half_round && c.votes < most_voted);
}

}  // namespace perisclera
