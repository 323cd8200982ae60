// SPDX-License-Identifier: Apache-2.0
#pragma once
// All slices of a stack side by side in one picture, as the page keeps them.
#include <string>

#include "perisclera/core/result.h"
#include "perisclera/report/scroll_stack.h"

namespace perisclera::report {

/// Slices in a row of the sheet; it is about as wide as high in slices.
std::size_t sheet_columns(const ScrollStack& stack);
/// Grey PNG. Errors: bad_size where pixels and size do not agree or there is no slice, internal_fault.
Result<std::string> slice_sheet(const ScrollStack& stack);

}  // namespace perisclera::report
