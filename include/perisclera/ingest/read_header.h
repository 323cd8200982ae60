// SPDX-License-Identifier: Apache-2.0
#pragma once
// The header of a checked slice once more, whole, for those who have to account for every attribute in it.
#include <string_view>
#include <vector>

#include "perisclera/core/result.h"
#include "perisclera/ingest/slice_header.h"

namespace perisclera {

struct HeaderBytes {
    std::vector<unsigned char> bytes;
    std::string_view syntax_uid;   ///< of the transfer syntax in which they are written (PS3.6 annex A)
};

/// The data set of the slice's file from its meta group up to its pixels, as it is encoded there. Errors: cannot_read, changed_while_reading.
Result<HeaderBytes> read_header(const SliceHeader& slice);

}  // namespace perisclera
