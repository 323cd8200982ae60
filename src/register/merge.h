// SPDX-License-Identifier: Apache-2.0
#pragma once
// What the register holds of a patient's elements once a result is entered.
#include <optional>
#include <vector>

#include "perisclera/register/register_entry.h"

namespace perisclera {

/// `covers`: the result was made from all images entered so far, so that for the eyes it looked at it stands in place of what was there. Otherwise nothing is
/// removed: of each element the later scan and the later comparison stay. Nothing where an element of the same name lies elsewhere: names are given
/// by date within one result, and a result of other dates may count differently.
std::optional<std::vector<ElementRecord>> merged(std::vector<ElementRecord> stored, const RegisterEntry& entry, bool covers);

}  // namespace perisclera
