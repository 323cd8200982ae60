// SPDX-License-Identifier: Apache-2.0
#include "head_map.h"

namespace perisclera::phantoms {

HeadMap::HeadMap(const HeadModel& head) : head_(head), bits_(static_cast<std::size_t>(cubes[0] * cubes[1] * cubes[2])) {}

Locality HeadMap::find(const std::array<int, 3>& cube, std::atomic<std::uint32_t>& bits) const {
    constexpr double rounding_mm = 1e-6;  // by far more than coordinates are rounded by
    const auto range = [&](std::size_t a, double from) { return Range{from + cube[a] * cube_mm - rounding_mm, from + (cube[a] + 1) * cube_mm + rounding_mm}; };
    const Locality found = head_.locality({range(0, corner.x), range(1, corner.y), range(2, corner.z)});
    bits.store(found.bits(), std::memory_order_relaxed);  // whichever thread stores last: all find the same
    return found;
}

}  // namespace perisclera::phantoms
