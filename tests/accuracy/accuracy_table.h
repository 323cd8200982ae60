// SPDX-License-Identifier: Apache-2.0
#pragma once
// docs/accuracy.md from the outcomes of a sweep.
#include <string>
#include <vector>

#include "outcome.h"

namespace perisclera::accuracy {

/// One patient as a row of a Markdown table.
std::string row_of(const Outcome& outcome);

std::string accuracy_document(const std::vector<Outcome>& outcomes, unsigned long seed);

}  // namespace perisclera::accuracy
