// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <string>
#include <vector>

#include "perisclera/report/report_model.h"

namespace perisclera::report {

/// What was told of the operation, what follows from it and the images together, and where the two contradict each other.
std::vector<std::string> record_sentences(const RecordedOperation& record);

}  // namespace perisclera::report
