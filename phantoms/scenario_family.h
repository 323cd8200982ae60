// SPDX-License-Identifier: Apache-2.0
#pragma once
// A family of scenarios: one of them as a base, and what varies, as a grid of stated values, as random draws, or both. Places in the base
// are JSON pointers (RFC 6901).
#include <string>
#include <string_view>
#include <vector>

#include "perisclera/core/result.h"

namespace perisclera::phantoms {

/// The scenarios of a family in their order: the grid's last place varies fastest, and each of its points is drawn `count` times.
/// Members are numbered through the seed: the base's plus their number, unless "/seed" itself varies. The same text gives the same
/// members. Every one is checked as parse_scenario does. Errors: bad_scenario, naming the key or the member.
Result<std::vector<std::string>> parse_family(std::string_view json_text);

}  // namespace perisclera::phantoms
