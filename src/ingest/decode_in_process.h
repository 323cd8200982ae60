// SPDX-License-Identifier: Apache-2.0
#pragma once
// The decoder itself; decode.h says why it runs in a child process.
#include <span>

#include "image_files.h"
#include "perisclera/ingest/slice_header.h"

namespace perisclera {

/// `out` takes exactly the native pixel bytes. False when the stream is damaged or does not decode to what the header says.
bool decode_in_process(ImageFiles& files, const SliceHeader& slice, std::span<unsigned char> out);

}  // namespace perisclera
