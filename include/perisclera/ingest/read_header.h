// SPDX-License-Identifier: Apache-2.0
#pragma once
// The header of a checked slice once more, whole, for those who have to account for every attribute in it.
#include <vector>

#include "perisclera/core/result.h"
#include "perisclera/ingest/slice_header.h"

namespace perisclera {

/// The data set of the slice's file from its meta group up to its pixels, as it is encoded there (SliceHeader::layout; encapsulated pixels follow explicit
/// little endian). Errors: cannot_read, changed_while_reading.
Result<std::vector<unsigned char>> read_header(const SliceHeader& slice);

}  // namespace perisclera
