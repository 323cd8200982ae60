// SPDX-License-Identifier: Apache-2.0
#pragma once
// One body beside an eye, as a scenario states it: explants of every material, and what imitates them.
#include <string>

#include <nlohmann/json.hpp>

#include "tests/bank/draw.h"

namespace perisclera::material_sweep {

/// Of 13: explants about as often as the program's prior has them, and what imitates in two.
std::string drawn_kind(std::uint64_t seed, std::size_t slot);

/// Its state of an eye, with "elements" or "look_alikes". `middle_hour`: of what has a clock hour.
nlohmann::ordered_json drawn_body(bank::Draw& draw, const std::string& kind, double middle_hour, bool outside);

}  // namespace perisclera::material_sweep
