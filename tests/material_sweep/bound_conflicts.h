// SPDX-License-Identifier: Apache-2.0
#pragma once
// Bounds that physics, or another bound, keeps from being met: how far each could be, measured on these bodies.
#include <string>

#include "bodies.h"

namespace perisclera::material_sweep {

std::string bound_conflicts(const Bodies& bodies);

}  // namespace perisclera::material_sweep
