// SPDX-License-Identifier: Apache-2.0
#pragma once
// How often the program is right, by series at hand, and whether its probabilities are kept.
#include <string>

#include "bodies.h"

namespace perisclera::material_sweep {

int bins_outside(const std::vector<StatedCase>& cases);

/// Rows by set of series.
std::string set_table(const Bodies& bodies);
/// Ten bins of all sets together, and of each.
std::string calibration_table(const Bodies& bodies, bool each_set);

}  // namespace perisclera::material_sweep
