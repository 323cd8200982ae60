// SPDX-License-Identifier: Apache-2.0
#pragma once
// Decoding of encapsulated pixels in child processes. A damaged stream can make a decoder crash or never end, which no
// exception handler catches; a child with limits on memory and processor time turns either into one refused file.
#include <functional>
#include <optional>
#include <span>
#include <vector>

#include "perisclera/core/error.h"
#include "perisclera/ingest/slice_header.h"

namespace perisclera {

/// Decodes in up to `children` processes at a time. take(i, bytes) is called in this process, in order, with the
/// native little-endian pixel bytes of each slice that decoded. Returns what is wrong with the others: decode_failed, limit_reached.
std::vector<std::optional<Error>> decode_slices(std::span<const SliceHeader* const> slices, int children,
                                                const std::function<void(std::size_t, std::span<const unsigned char>)>& take);

}  // namespace perisclera
