// SPDX-License-Identifier: Apache-2.0
#pragma once
// Decoding of encapsulated pixels to little-endian stored values.
#include <span>
#include <string>
#include <vector>

#include "perisclera/core/result.h"
#include "perisclera/ingest/slice_header.h"

namespace perisclera {

/// Decodes one slice, in this process. `out` takes exactly the native pixel bytes. False when the stream is damaged or does
/// not decode to what the header says.
bool decode_slice(const SliceHeader& slice, std::span<unsigned char> out);

}  // namespace perisclera
