// SPDX-License-Identifier: Apache-2.0
#pragma once
// deidentification.json: what was kept, emptied, replaced and removed, and why; how much of the face is left; of which images it was made.
#include <string>
#include <vector>

#include "perisclera/core/result.h"
#include "perisclera/teaching/deidentified_image.h"

namespace perisclera::teaching {

/// Of one series, under its new UID.
struct SeriesRecord {
    std::string uid, input_digest;       ///< the digest is that of the original's content
    int images = 0;
    std::array<int, 3> original_size, kept_size;
    FaceSurface face;
};

std::string deidentification_json(const std::vector<SeriesRecord>& series, const AttributeFates& fates, const RegionLengths& lengths, bool recognizable,
                                 bool dropped_overlays);

}  // namespace perisclera::teaching
