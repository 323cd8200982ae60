// SPDX-License-Identifier: Apache-2.0
#pragma once
// Where an image lies, in its own words: decimal strings (DS) as its header writes them, a backslash between values, outer spaces removed. For what is filed
// beside the image and must lie exactly where it lies; whoever computes reads the numbers from the geometry instead. Source: PS3.3 C.7.6.2.1.1.
#include <string>

namespace perisclera {

struct StatedPlane {
    std::string position{}, orientation{};        ///< three and six values
    std::string pixel_spacing{};                  ///< between rows, then between columns, mm
    std::string slice_thickness{};                ///< mm; empty where not stated
    bool operator==(const StatedPlane&) const = default;
};

}  // namespace perisclera
