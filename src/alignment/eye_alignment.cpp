// SPDX-License-Identifier: Apache-2.0
#include "perisclera/alignment/eye_alignment.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "eye_likeness.h"
#include "perisclera/anatomy/directions.h"
#include "perisclera/core/text.h"

namespace perisclera {

namespace {

constexpr double degree = std::numbers::pi / 180.0, equator_mm = 12.0;

/// By how much the poses take the equator apart, mm, at most.
double apart_mm(const Found& a, const Found& b) {
    return equator_mm * std::hypot(a.pose[0] - b.pose[0], a.pose[1] - b.pose[1], a.pose[2] - b.pose[2]) + std::hypot(a.pose[3] - b.pose[3], a.pose[4] - b.pose[4], a.pose[5] - b.pose[5]);
}

/// The most probable first, none near a better one, at most three.
std::vector<Found> apart(std::vector<Found> all) {
    constexpr double near_mm = 1.0;
    constexpr std::size_t most = 3;
    std::stable_sort(all.begin(), all.end(), [](const Found& a, const Found& b) { return a.value > b.value; });
    std::vector<Found> kept;
    for (const Found& one : all)
        if (kept.size() < most && std::none_of(kept.begin(), kept.end(), [&](const Found& k) { return apart_mm(k, one) < near_mm; })) kept.push_back(one);
    return kept;
}

/// The optima that are reached from the base and from rings about it, where either axis may truly lie; the most probable first.
std::vector<Found> optima(EyeLikeness& probability) {
    constexpr Pose far{3.0 * degree, 3.0 * degree, 2.0 * degree, 0.4, 0.4, 0.4}, near{1.1 * degree, 1.1 * degree, 0.7 * degree, 0.15, 0.15, 0.15};
    std::vector<Found> found{{{}, probability({})}};
    for (const double ring : {6.0 * degree, 12.0 * degree, 18.0 * degree})
        for (int k = 0; k < 8; ++k) {
            const double around = 0.25 * std::numbers::pi * k;
            const Pose pose{ring * std::cos(around), ring * std::sin(around), 0, 0, 0, 0};
            found.push_back({pose, probability(pose)});
        }
    found = apart(std::move(found));
    for (Found& one : found) one = uphill(probability, one, far, 2);
    found = apart(std::move(found));
    for (Found& one : found) one = uphill(probability, one, near, 4);
    return apart(std::move(found));
}

/// Root mean square distance between both scleral surfaces, the cornea and what is near it left out.
double residual_mm(const Globe& first, const Globe& second, const EyeFrame& frame) {
    double sum = 0.0;
    int n = 0;
    for (const EyeVector& d : even_directions<EyeLocal>(300)) {
        if (d.z > 0.5) continue;
        const double r = first.outer_radius_mm(first.frame.to_patient(d));
        const PatientVector out = frame.to_patient(EyePoint{d.x * r, d.y * r, d.z * r}) - second.frame.origin();
        const double off = length(out) - second.outer_radius_mm(unit(out));
        sum += off * off;
        ++n;
    }
    return std::sqrt(sum / n);
}

Error refused(const std::string& key, double distance_mm) {
    return Error{ErrorCode::alignment_refused, say(key, {{"distance", std::to_string(distance_mm).substr(0, 3)}}), "alignment", "look at each series by itself"};
}

}  // namespace

Result<AlignedEye> align_eye(const EyeInSeries& first, const EyeInSeries& second) {
    EyeLikeness probability(first, second, head_move(first, second));
    const std::vector<Found> found = optima(probability);
    const Found& best = found.front();
    const EyeFrame frame = probability.posed(best.pose);
    const double residual = residual_mm(first.globe, second.globe, frame);
    if (residual > largest_residual.value()) return refused("series.surfaces_apart", residual);
    // A rival of a twentieth of the probability or more.
    constexpr double least_lead = 3.0;
    for (const Found& rival : found)
        if (best.value - rival.value < least_lead && apart_mm(best, rival) > rivals_apart.value()) return refused("series.fits_in_two_ways", apart_mm(best, rival));
    // The least doubts are what series of like kind leave (drawn patients, tests/alignment.sh).
    constexpr double least_turn = 0.6 * degree, least_shift_mm = 0.15;
    const PriorSpread& prior = probability.spread();
    // Over so many degrees that the unevenness between voxels is no certainty.
    constexpr double wide = 1.5 * degree;
    const double turn_doubt = std::max(doubt_of(probability, best, 0, wide), doubt_of(probability, best, 1, wide));
    double shift_doubt = 0.0;
    for (const std::size_t k : {3u, 4u, 5u}) shift_doubt = std::max(shift_doubt, doubt_of(probability, best, k, 0.3));
    return AlignedEye{frame, Degrees(std::hypot(std::min(turn_doubt, prior.axis), least_turn) / degree), Degrees(std::min(doubt_of(probability, best, 2, 1.0 * degree), prior.torsion) / degree),
                      Mm(std::hypot(std::min(shift_doubt, prior.own_shift_mm), least_shift_mm)), Mm(residual)};
}

}  // namespace perisclera
