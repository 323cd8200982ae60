// SPDX-License-Identifier: Apache-2.0
#pragma once
// What an element may be, in full: each material with what its specimens differ in. All readings judge one specimen, so that what fits one series as one
// specimen and another series as another fits neither.
#include <cstddef>
#include <vector>

#include "perisclera/material/material_opinion.h"

namespace perisclera {

struct SiliconeGrade {
    double hu_at_120_kvp;
};
struct SpongeDensity {
    double hu;                ///< the same at every tube voltage
};
struct HydrogelState {
    double water_fraction, dry_density;
    int binding;              ///< index into hydrogel_bindings
};

/// One specimen with its share before any image is seen.
template <class State>
struct Possible {
    State state;
    double share;
};

/// Shares sum to 1.
const std::vector<Possible<SiliconeGrade>>& silicone_grades();
const std::vector<Possible<SpongeDensity>>& sponge_densities();
const std::vector<Possible<HydrogelState>>& hydrogel_states();

inline constexpr double least_water = 0.15, most_water = 0.95;

}  // namespace perisclera
