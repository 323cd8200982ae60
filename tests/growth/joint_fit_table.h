// SPDX-License-Identifier: Apache-2.0
#pragma once
// What fitting both dates under one CT number gained over fitting each by itself, on the same pairs.
#include <string>
#include <vector>

#include "pair_outcome.h"

namespace perisclera::growth {

/// The document's section: a table by strata of the pairs that were so fitted; a line that says so where there are fewer than two.
std::string joint_fit_section(const std::vector<const PairOutcome*>& pairs);

}  // namespace perisclera::growth
