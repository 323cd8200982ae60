// SPDX-License-Identifier: Apache-2.0
#pragma once
// The clinic list against a plain reading of the same rows.
#include <string>

namespace perisclera::test {

/// As ratio_rows, for a register of 10,000 patients. Throws where either fails or lists another number of lines.
std::string clinic_list_rows(int rounds);

}  // namespace perisclera::test
