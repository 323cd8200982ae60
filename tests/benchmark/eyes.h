// SPDX-License-Identifier: Apache-2.0
#pragma once
// Globes, frames and alignment against a stock registration.
#include <string>

namespace perisclera::test {

/// As ratio_rows, for synthesised pairs of series. Throws where a globe is not found, or an eye or a pair not brought together.
std::string eye_rows(int rounds);

}  // namespace perisclera::test
