// SPDX-License-Identifier: Apache-2.0
#pragma once
// What a further series is expected to tell of an element's material.
#include "belief.h"

namespace perisclera {

/// CT at tube voltages that differ by so much are two energies, kV (assumed).
inline constexpr double told_apart_kvp = 20.0;

/// Bits by which each step not yet at hand is expected to narrow the material down: the mean of what is unknown before less what is unknown after, over all that the
/// series may show by the present belief. An element as thin as this one is diluted on MR as it will be; one thinner than CT's blur tells nothing at a second energy.
PerStep expected_information(const Belief& belief, const std::vector<Reading>& readings);

}  // namespace perisclera
