// SPDX-License-Identifier: Apache-2.0
#include "perisclera/anatomy/lone_globe.h"

#include <array>
#include <cmath>
#include <numbers>
#include <vector>

#include "coarse_block.h"
#include "globe_evidence.h"
#include "perisclera/core/quantile.h"
#include "prosthesis.h"

namespace perisclera {

namespace {

/// Below this lies air; on MR also what gives no signal. MR: a share of what the brightest tissues show.
double tissue_level(const VoxelGrid& grid, Modality modality) {
    if (modality == Modality::ct) return -300.0;
    std::vector<float> values;
    for (std::size_t i = 0; i < grid.values().size(); i += 11) values.push_back(grid.values()[i]);
    return 0.12 * quantile(std::move(values), 0.97);
}

/// How far tissue reaches along a ray, if air follows it for long enough before the images end.
std::optional<double> tissue_end(const VoxelGrid& grid, double level, PatientPoint start, PatientVector direction, double air_needed) {
    constexpr double step = 1.0;
    double last = 0.0, imaged = 0.0;
    // Single bright voxels of noise in air count for nothing: tissue goes on for three steps.
    int in_a_row = 0;
    for (double r = 0.0;; r += step) {
        const PatientPoint p = start + direction * r;
        if (!grid.geometry().contains(p)) break;
        imaged = r;
        in_a_row = static_cast<double>(grid.sample(p)) > level ? in_a_row + 1 : 0;
        if (in_a_row >= 3) last = r;
    }
    if (imaged - last < air_needed) return std::nullopt;
    return last;
}

/// Share of the rays towards the front that come out into air soon before the globe; empty where the images end too soon to tell.
std::optional<double> air_before(const VoxelGrid& grid, double level, const GlobeCandidate& globe) {
    constexpr double deepest_lids_mm = 14.0, cone_degrees = 40.0, air_needed_mm = 4.0;
    constexpr int fewest_rays = 8;
    int rays = 0, out = 0;
    for (double polar = 0.0; polar <= cone_degrees; polar += 10.0)
        for (double around = 0.0; around < 360.0; around += polar == 0.0 ? 360.0 : 45.0) {
            const double a = polar * std::numbers::pi / 180.0, b = around * std::numbers::pi / 180.0;
            const PatientVector d{std::sin(a) * std::cos(b), -std::cos(a), std::sin(a) * std::sin(b)};
            const PatientPoint front = globe.centre + d * globe.inner_radius.value();
            const auto end = tissue_end(grid, level, front, d, air_needed_mm);
            if (!end && !grid.geometry().contains(front + d * deepest_lids_mm)) continue;
            ++rays;
            if (end && *end <= deepest_lids_mm) ++out;
        }
    if (rays < fewest_rays) return std::nullopt;
    return static_cast<double>(out) / rays;
}

/// Air and unsuppressed noise are not the inside of an eye.
bool is_filled(const GlobeCandidate& globe, double level, Modality modality) {
    if (modality == Modality::ct) return globe.interior_mean > -60.0 && globe.interior_mean < 300.0;
    return globe.interior_mean > 0.55 * level;
}

/// Shrunken eyes are small, and so is much else that is round: they must be plainer.
bool is_large_enough(const GlobeCandidate& c) {
    constexpr double smallest_mm = 8.5, shrunken_mm = 7.2, plainly_round = 0.75, most_voted = 0.9, plain_evidence = -0.5;
    const double r = c.inner_radius.value();
    return r >= smallest_mm || (r >= shrunken_mm && c.roundness >= plainly_round && c.votes >= most_voted && evidence_for(c) >= plain_evidence);
}

struct Outline {
    std::optional<double> distance;  ///< median, from the globe's centre to where the head ends; empty where the images end first
    double tissue_to = 0.0;          ///< median distance to which there is tissue at least
};

/// The head's outline on one side, at the globe's level and behind it.
Outline outline(const VoxelGrid& grid, double level, PatientPoint centre, double sign) {
    constexpr double air_needed_mm = 18.0;  // more than the nose holds between wall and septum, where images may end
    std::vector<double> ends, reached;
    for (const double back : {0.0, 8.0, 16.0})
        for (const double up : {-8.0, 0.0, 8.0}) {
            const PatientPoint start = centre + PatientVector{0.0, back, up};
            if (const auto end = tissue_end(grid, level, start, {sign, 0, 0}, air_needed_mm)) ends.push_back(*end);
            reached.push_back(tissue_end(grid, level, start, {sign, 0, 0}, 0.0).value_or(0.0));
        }
    Outline found{std::nullopt, quantile(reached, 0.5)};
    if (2 * ends.size() > reached.size()) found.distance = quantile(std::move(ends), 0.5);
    return found;
}

/// Share of the rays to one side that cross air with tissue behind it, as ethmoid cells and nose hold it and the temple does not.
std::optional<double> enclosed_air(const VoxelGrid& grid, Modality modality, double level, PatientPoint centre, double sign) {
    constexpr double nearest_mm = 11.0, farthest_mm = 32.0;
    // Cells are small and blurred: on CT what is well below fat counts. On MR thin bone is as dark as air.
    const double air_below = modality == Modality::ct ? -180.0 : level, least_air_mm = modality == Modality::ct ? 2.0 : 4.0;
    int rays = 0, crossing = 0;
    for (double back = 4.0; back <= 24.0; back += 4.0)
        for (double up = -8.0; up <= 8.0; up += 4.0) {
            const PatientPoint start = centre + PatientVector{0.0, back, up};
            if (!grid.geometry().contains(start + PatientVector{sign * 24.0, 0, 0})) continue;
            ++rays;
            double air = 0.0;
            bool enclosed = false;
            for (double r = nearest_mm; r <= farthest_mm && !enclosed; r += 1.0) {
                const PatientPoint p = start + PatientVector{sign * r, 0, 0};
                if (!grid.geometry().contains(p)) break;
                if (static_cast<double>(grid.sample(p)) < air_below)
                    air += 1.0;
                else
                    enclosed = air >= least_air_mm, air = 0.0;
            }
            if (enclosed) ++crossing;
        }
    if (rays < 15) return std::nullopt;
    return static_cast<double>(crossing) / rays;
}

/// Globes lie about 31 mm beside the middle of a head about 150 mm wide (usual anatomy): the temple some 30 mm away, the far temple 100.
std::optional<Eye> side_by_outline(const Outline& right, const Outline& left) {
    constexpr double usual_temple_mm = 42.0, farthest_temple_mm = 62.0, plainly_nearer_mm = 25.0;
    if (right.distance && left.distance) {
        if (*left.distance - *right.distance > plainly_nearer_mm) return Eye::right;
        if (*right.distance - *left.distance > plainly_nearer_mm) return Eye::left;
        return std::nullopt;
    }
    // Beside the eye that leads, the face of a turned head ends some 40 mm away and more; at a temple four real heads end 24 to 38 mm from the globe's middle.
    const auto is_temple = [](const Outline& o) { return o.distance && *o.distance < usual_temple_mm; };
    const auto is_beyond = [](const Outline& o) { return o.tissue_to > farthest_temple_mm; };
    const bool may_be_right = !is_beyond(right) && !is_temple(left), may_be_left = !is_beyond(left) && !is_temple(right);
    if (may_be_right == may_be_left) return std::nullopt;
    return may_be_right ? Eye::right : Eye::left;
}

/// Where the images end before the head does, the nose tells.
std::optional<Eye> side_by_nose(const VoxelGrid& grid, Modality modality, double level, PatientPoint centre) {
    constexpr double plenty = 0.25, next_to_none = 0.08;
    const auto right = enclosed_air(grid, modality, level, centre, -1.0), left = enclosed_air(grid, modality, level, centre, 1.0);
    if (!right || !left) return std::nullopt;
    if (*left > plenty && *right < next_to_none) return Eye::right;
    if (*right > plenty && *left < next_to_none) return Eye::left;
    return std::nullopt;
}

/// Two signs that contradict each other tell nothing.
std::optional<Eye> side_of(const VoxelGrid& grid, Modality modality, double level, PatientPoint centre) {
    const auto by_outline = side_by_outline(outline(grid, level, centre, -1.0), outline(grid, level, centre, 1.0));
    const auto by_nose = side_by_nose(grid, modality, level, centre);
    if (by_outline && by_nose && *by_outline != *by_nose) return std::nullopt;
    return by_outline ? by_outline : by_nose;
}

}  // namespace

std::optional<LoneGlobe> find_lone_globe(const VoxelGrid& grid, Modality modality, const std::vector<GlobeCandidate>& candidates) {
    // Our own choice: globes on slices of 4 mm still reach a roundness of 0.5, and air before the lids leaves little else that is round.
    constexpr double least_roundness = 0.45, least_roundness_alone = 0.6, least_air = 0.35, largest_mm = 13.5, least_evidence = -1.2, least_votes = 0.45, plainly_less = 1.0;
    const double level = tissue_level(grid, modality);
    std::optional<GlobeCandidate> found;
    for (const GlobeCandidate& c : candidates) {
        const double r = c.inner_radius.value();
        if (evidence_for(c) < least_evidence || c.votes < least_votes || c.roundness < least_roundness || !is_large_enough(c) || r > largest_mm || !is_filled(c, level, modality)) continue;
        const auto air = air_before(grid, level, c);
        if (air ? *air < least_air : c.roundness < least_roundness_alone) continue;
        if (found && length(found->centre - c.centre) > r && evidence_for(c) > evidence_for(*found) - plainly_less) return std::nullopt;
        if (!found) found = c;  // candidates come best first
    }
    if (!found || !stands_for_a_globe(*found, modality)) return std::nullopt;
    if (modality == Modality::mr && is_sphere_behind_prosthesis(grid, *found, {0, -1, 0}, edge_scale(coarse_copy(grid, modality), modality))) return std::nullopt;
    return LoneGlobe{*found, side_of(grid, modality, level, found->centre)};
}

bool fellow_place_is_imaged(const VoxelGrid& grid, Eye eye, const GlobeCandidate& globe) {
    constexpr double apart_mm = 62.0;
    const PatientPoint place = globe.centre + PatientVector{-temporal_sign(eye) * apart_mm, 0, 0};
    for (const double x : {-1.0, 1.0})
        if (!grid.geometry().contains(place + PatientVector{x * globe.inner_radius.value(), 0, 0})) return false;
    return true;
}

}  // namespace perisclera
