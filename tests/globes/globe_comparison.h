// SPDX-License-Identifier: Apache-2.0
#pragma once
// A globe as the program found it in one series against where it truly is. mm, degrees.
#include <optional>
#include <vector>

#include "perisclera/anatomy/globe.h"
#include "true_eye.h"

namespace perisclera::globes {

/// What was said of one eye.
enum class Sighting {
    rightly_none,
    found,
    missed,
    false_globe,   ///< where there is none, or too far from any
    wrong_side     ///< the fellow eye's
};

/// `truth`, `fellow_truth`: nothing where there is no globe. A globe counts as the true one up to 6 mm from its centre.
Sighting sighting_of(const std::optional<Globe>& said, const std::optional<TrueEye>& truth, const std::optional<TrueEye>& fellow_truth);

/// An interval against the truth: does it hold it, how wide is it, and what was the error. Independent components of one quantity share a claim.
struct Claim {
    bool holds;
    double half_width;            ///< of the 95 % interval of one component
    std::vector<double> errors;   ///< of the components
};

struct GlobeErrors {
    double surface_mean_mm, surface_max_mm;   ///< distance of the outer sclera behind the limbus
    double along_mm;                          ///< of the centre along the true axis, positive forwards
    double across_mm;                         ///< and perpendicular to it
    double axis_deg;
    double diameter_mm;                       ///< of the equator, measured less true
    std::optional<double> axial_length_mm;    ///< measured less true; nothing where it was not measured
    Claim axis, centre;
    std::optional<Claim> axial_length, diameter;   ///< where they were measured
};

GlobeErrors errors_of(const Globe& globe, const TrueEye& truth);

/// Distance of a point from the globe's outer surface, positive outside, to first order in the surface's curvature.
double distance_from_surface(const Globe& globe, PatientPoint point);

}  // namespace perisclera::globes
