// SPDX-License-Identifier: Apache-2.0
#pragma once
// Water fractions against the truth: how often the stated 95 % interval holds it, and how wide it is against the errors.
#include <string>

#include "acceptance.h"

namespace perisclera::material_sweep {

std::vector<Bound> water_bounds(const Bodies& bodies);
std::string water_table(const Bodies& bodies);

}  // namespace perisclera::material_sweep
