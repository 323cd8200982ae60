// SPDX-License-Identifier: Apache-2.0
#pragma once
// What many profiles of one element say together.
#include <optional>
#include <vector>

#include "perisclera/measurement/wall_profile.h"
#include "perisclera/physics/material_table.h"

namespace perisclera {

/// Value and standard uncertainty.
struct Told {
    double value, uncertainty;
};

/// Middle of what single profiles say. Blur and priors are the same for all, so that much of each one's uncertainty stays however many there are. Precondition: not empty.
Told middle_of(const std::vector<Told>& each);

struct JointThickness {
    Told mm;
    std::vector<ThicknessByNumber::At> by_number;
    bool against_profiles;   ///< does what is known of the number beforehand lead far from what the profiles show?
};

/// The thickness, mm, that the profiles allow under one CT number for all: of sponge or of solid silicone at a tube voltage, of which the number is roughly known beforehand. Nothing
/// where what is likely before is what no profile allows. Precondition: not empty.
std::optional<JointThickness> joint_thickness(const std::vector<std::vector<PossibleThickness>>& profiles, bool sponge, double kvp);

/// Thickness by one profile where the CT number is this; nothing where the profile does not allow it.
std::optional<Told> thickness_at(const std::vector<PossibleThickness>& profile, double hu);

}  // namespace perisclera
