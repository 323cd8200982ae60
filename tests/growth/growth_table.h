// SPDX-License-Identifier: Apache-2.0
#pragma once
// docs/growth.md from the pairs of a sweep.
#include <cstdint>
#include <string>
#include <vector>

#include "pair_outcome.h"

namespace perisclera::growth {

/// As the running table and the document show it.
std::string row_of(const PairOutcome& pair);

std::string growth_document(const std::vector<PairOutcome>& pairs, std::uint64_t seed);

}  // namespace perisclera::growth
