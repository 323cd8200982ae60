// SPDX-License-Identifier: Apache-2.0
#pragma once
// Drawn explants meet drawn orbits: what is too thick for its place is made thinner.
#include <string>

namespace perisclera::bank {

/// The same scenario with elements as thick as the synthesised orbits have room for, where they are drawn thicker; none is made thinner than 2 mm.
/// Precondition: phantoms::parse_scenario takes it.
std::string with_room(const std::string& scenario);

}  // namespace perisclera::bank
