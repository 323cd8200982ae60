// SPDX-License-Identifier: Apache-2.0
#pragma once
// An element as the values of its row, and back.
#include <optional>

#include "database.h"
#include "perisclera/register/register_entry.h"

namespace perisclera {

/// In the order of the table's columns.
Row values_of(std::int64_t patient, const ElementRecord& element);

/// From the columns from `first` on, which is the one after the patient. Nothing where they hold what no element has.
std::optional<ElementRecord> element_of(const Row& row, std::size_t first);

/// From "YYYY-MM-DD"; nothing where it is no day of the calendar.
std::optional<StudyDate> date_of(const std::string& iso);

}  // namespace perisclera
