// SPDX-License-Identifier: Apache-2.0
#pragma once
// The groups of like eyes by which the tables of globe and alignment sweeps are divided.
#include <string>
#include <vector>

#include "phantoms/scenario.h"

namespace perisclera::globes {

/// One division of all eyes and the part an eye belongs to: ("lens", "implant").
struct Stratum {
    std::string division, part;
    auto operator<=>(const Stratum&) const = default;
};

/// "band", "sponge radial", "hydrogel irregular" and so on; "none".
std::string explant_of(const phantoms::EyeState& eye);

/// "CT soft", "CT bone", "t1_contrast", ...
std::string contrast_of(const phantoms::Series& series);

/// Where an eye in a series belongs, divisions in the tables' order. `build`: a word of the scenario's anatomy.
std::vector<Stratum> strata_of(const phantoms::Timepoint& visit, const phantoms::Series& series, Eye eye, const std::string& build);

}  // namespace perisclera::globes
