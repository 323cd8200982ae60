// SPDX-License-Identifier: Apache-2.0
#pragma once
// From what the bodies of the measured half are drawn: kinds with their shares, sizes and what differs between two of a kind. All of it is assumed, after the sizes
// that the half through images draws from; the shares of the classes are the program's own prior, so that its probabilities can be kept.
#include <array>
#include <optional>
#include <vector>

#include "perisclera/material/material_opinion.h"
#include "phantoms/tissue.h"

namespace perisclera::material_sweep {

struct BodyKind {
    const char* name;
    MaterialClass truth;
    double share;                               ///< of its class
    std::array<double, 2> thickness_mm, span_hours;   ///< evenly between
    Expected off_wall_mm;
    std::optional<phantoms::Tissue> tissue{};   ///< of what imitates
    double hu_spread = 0.0, ratio_spread = 0.0; ///< between two of a kind, beyond what the latent value makes: HU; share of the ratio
};

const std::vector<BodyKind>& body_kinds();

/// What is unknown of a kind beforehand: of solid silicone and sponges the CT number at 120 kVp, of hydrogel the water fraction, of wood the share soaked with fluid;
/// nothing of others, whose range is one point. Only these differ outside the program's assumptions: fillers and densities at the ends.
std::array<double, 2> latent_range(const BodyKind& kind);
/// Not normalised, at most 1.
double latent_density(const BodyKind& kind, double value, bool outside);

}  // namespace perisclera::material_sweep
