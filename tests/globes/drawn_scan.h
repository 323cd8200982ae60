// SPDX-License-Identifier: Apache-2.0
#pragma once
// The patients of the globe sweep (two unlike series each) and the pairs of the alignment sweep (two series of one patient, head and eyes turned between them).
#include <cstdint>
#include <string>

namespace perisclera::globes {

/// A scenario for phantoms::parse_scenario, its elements with room. The same seed and number give the same text. Two series of any contrast and plane, slices of
/// 0.6 to 5 mm, the head turned by up to 30 degrees about each axis and the eyes by up to 25.
std::string draw_patient(std::uint64_t seed, int number);

/// Two series, with whole eyes: CT and T1, CT and T2 or T1 and T2; both axial or the second coronal; thin slices, 3 mm or one of each. The head turns between
/// them by up to 30 degrees, the eyes in it by up to 25.
std::string draw_pair(std::uint64_t seed, int number);

}  // namespace perisclera::globes
