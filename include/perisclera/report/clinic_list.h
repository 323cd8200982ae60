// SPDX-License-Identifier: Apache-2.0
#pragma once
// The clinic list, from the rows of the register, for a terminal, a spreadsheet and a program. All carry the caution and mark simulated patients; numbers have
// the decimals of report.json. Names and patient IDs have columns of their own `with_identity` only.
#include <string>
#include <vector>

#include "perisclera/register/patient_register.h"

namespace perisclera::report {

/// What all of them carry.
std::string clinic_caution();

/// Aligned columns under the caution; numbers in brackets are the ends of the 95 % interval.
std::string clinic_table(const std::vector<RegisterRow>& rows, bool with_identity);

/// RFC 4180, with a line of column names. A text that a spreadsheet would take for a formula is led by an apostrophe.
std::string clinic_csv(const std::vector<RegisterRow>& rows, bool with_identity);

std::string clinic_json(const std::vector<RegisterRow>& rows, bool with_identity);

}  // namespace perisclera::report
