// SPDX-License-Identifier: Apache-2.0
#pragma once
// The survey as JSON: numbers instead of names, no free text of the images.
#include <string>

#include "perisclera/assemble/survey.h"

namespace perisclera::report {

std::string to_json(const Survey& survey);

}  // namespace perisclera::report
