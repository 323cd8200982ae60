// SPDX-License-Identifier: Apache-2.0
#include "head_map.h"

namespace perisclera::phantoms {

namespace {

// The midline lies between cubes.
constexpr double cube_mm = 2.0;
constexpr HeadPoint corner{-96.0, -32.0, -112.0};
constexpr std::array<int, 3> cubes{96, 112, 112};
constexpr double rounding_mm = 1e-6;  // by far more than coordinates are rounded by

}  // namespace

HeadMap::HeadMap(const HeadModel& head) : head_(head), bits_(static_cast<std::size_t>(cubes[0] * cubes[1] * cubes[2])) {}

Locality HeadMap::locality(HeadPoint p) const {
    const HeadVector at = (p - corner) / cube_mm;
    const std::array<double, 3> place{at.x, at.y, at.z};
    std::array<int, 3> cube{};
    for (std::size_t a = 0; a < 3; ++a) {
        if (!(place[a] >= 0.0 && place[a] < cubes[a])) return Locality::anything();
        cube[a] = static_cast<int>(place[a]);
    }
    std::atomic<std::uint32_t>& bits = bits_[static_cast<std::size_t>((cube[2] * cubes[1] + cube[1]) * cubes[0] + cube[0])];
    if (const std::uint32_t found = bits.load(std::memory_order_relaxed)) return Locality::of_bits(found);
    const Locality found = find(cube);
    bits.store(found.bits(), std::memory_order_relaxed);  // whichever thread stores first: all find the same
    return found;
}

Locality HeadMap::find(std::array<int, 3> cube) const {
    const auto range = [&](std::size_t a, double from) { return Range{from + cube[a] * cube_mm - rounding_mm, from + (cube[a] + 1) * cube_mm + rounding_mm}; };
    return head_.locality({range(0, corner.x), range(1, corner.y), range(2, corner.z)});
}

}  // namespace perisclera::phantoms
