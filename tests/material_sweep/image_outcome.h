// SPDX-License-Identifier: Apache-2.0
#pragma once
// What the program said of both bodies of one synthesised patient, held against the truth that the simulation wrote.
#include <vector>

#include <nlohmann/json.hpp>

#include "drawn_bodies.h"
#include "judged_body.h"

namespace perisclera::material_sweep {

/// Right, left. An explant is found where an element of its eye lies within two clock hours of its middle; what imitates, likewise or, where it has no clock hours,
/// within three hours of the direction in which it lies from the globe. `report`: report.json, whose probabilities are rounded to 0.0001.
std::vector<JudgedBody> compare(const DrawnBodies& patient, const nlohmann::json& report, const nlohmann::json& truth);

}  // namespace perisclera::material_sweep
