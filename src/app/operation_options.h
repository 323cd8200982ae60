// SPDX-License-Identifier: Apache-2.0
#pragma once
// What the user tells of the operation: --surgery-date, --recorded-material and --recorded-section, each for one eye ("right:1988-05-12") or for both ("1988").
#include <array>
#include <string>
#include <vector>

#include "perisclera/assemble/image_series.h"
#include "perisclera/core/result.h"
#include "perisclera/material/operation_record.h"

namespace perisclera::app {

/// Right, left. Error: usage, where a word, date or size does not fit, or an eye is told twice. No text of the user is quoted.
Result<std::array<OperationRecord, 2>> operation_records(const std::vector<std::string>& dates, const std::vector<std::string>& materials, const std::vector<std::string>& sections);

/// Refused: an operation that the images cannot show, since all of them are older.
std::optional<Error> operation_after(const std::array<OperationRecord, 2>& records, StudyDate last_images);

}  // namespace perisclera::app
