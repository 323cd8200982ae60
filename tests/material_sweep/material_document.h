// SPDX-License-Identifier: Apache-2.0
#pragma once
// docs/material.md.
#include <cstdint>
#include <string>
#include <vector>

#include "judged_body.h"

namespace perisclera::material_sweep {

/// A line while the sweep runs.
std::string row_of(const JudgedBody& body);

std::string material_document(const std::vector<JudgedBody>& bodies, std::uint64_t seed);

}  // namespace perisclera::material_sweep
