// SPDX-License-Identifier: Apache-2.0
#pragma once
// docs/accuracy.md from the outcomes of a sweep.
#include <string>
#include <vector>

#include "outcome.h"

namespace perisclera::accuracy {

/// One patient as a row of a Markdown table.
std::string row_of(const Outcome& outcome);

/// What the images were and what the numbers can say, for synthesised patients and for explants put into real heads.
std::string about_synthesised(std::size_t patients, unsigned long seed);
std::string about_real_heads(std::size_t patients, unsigned long seed, const std::string& heads);

std::string accuracy_document(const std::vector<Outcome>& outcomes, const std::string& about);

}  // namespace perisclera::accuracy
