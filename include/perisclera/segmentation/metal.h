// SPDX-License-Identifier: Apache-2.0
#pragma once
// Metal on CT, and what its streaks make doubtful. Above 2500 HU, which the orbit's bone never reaches (common practice, no source).
#include <optional>
#include <vector>

#include "perisclera/core/clock_position.h"
#include "perisclera/segmentation/element_finder.h"

namespace perisclera {

/// Does the element lie within 15 mm of metal, where dark streaks look like gas? CT only.
bool lies_beside_metal(const PolarBlock& ct, const FoundElement& element);

/// A piece of metal that lies on an element, at most 2 mm off, and how far it and its streaks reach along the clock.
struct MetalOn {
    ClockPosition middle;
    double span_hours;
};
/// CT only.
std::vector<MetalOn> metal_on(const PolarBlock& ct, const FoundElement& element);

/// Where metal lies within 12 mm of the sclera, one clock position for each piece; none: no metal there.
/// Empty where this CT cannot tell: part of that space is not imaged, slices lie more than 4 mm apart, or values end below what metal shows.
std::optional<std::vector<ClockPosition>> metal_round_globe(const PolarBlock& ct);

}  // namespace perisclera
