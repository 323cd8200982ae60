// SPDX-License-Identifier: Apache-2.0
#pragma once
// Which pieces of encapsulated pixels belong to which frame (PS3.5 A.4).
#include <cstdint>
#include <optional>
#include <vector>

#include "input_file.h"
#include "perisclera/ingest/preflight.h"

namespace perisclera {

struct Fragment {
    std::uint64_t offset = 0;  ///< of its first byte in the file
    std::uint32_t length = 0;
};

/// One list of fragments for each frame. Nullopt when the file does not tell where frames begin: neither one frame, nor one fragment
/// a frame, nor a basic offset table that points to fragments. Precondition: the file has passed the preflight.
std::optional<std::vector<std::vector<Fragment>>> fragments_of_frames(InputFile& file, const FileLayout& layout, int frames);

}  // namespace perisclera
