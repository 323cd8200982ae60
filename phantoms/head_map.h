// SPDX-License-Identifier: Apache-2.0
#pragma once
// A head in which many points are looked up: what may lie in each small cube of it is found once, when first asked for, and every point is compared
// only with that. The labels are the head's own.
#include <array>
#include <atomic>
#include <cstdint>
#include <vector>

#include "head_model.h"

namespace perisclera::phantoms {

class HeadMap {
public:
    /// Keeps a reference to `head`.
    explicit HeadMap(const HeadModel& head);
    /// May be called from several threads at once.
    [[nodiscard]] Label label_at(const HeadPoint& point) const { return head_.label_at(point, locality(point)); }
    [[nodiscard]] const HeadModel& head() const { return head_; }

private:
    // The midline lies between cubes.
    static constexpr double cube_mm = 2.0;
    static constexpr HeadPoint corner{-96.0, -32.0, -112.0};
    static constexpr std::array<int, 3> cubes{96, 112, 112};

    [[nodiscard]] Locality locality(const HeadPoint& p) const {
        const double x = (p.x - corner.x) / cube_mm, y = (p.y - corner.y) / cube_mm, z = (p.z - corner.z) / cube_mm;
        if (!(x >= 0.0 && y >= 0.0 && z >= 0.0 && x < cubes[0] && y < cubes[1] && z < cubes[2])) return Locality::anything();
        const std::array<int, 3> cube{static_cast<int>(x), static_cast<int>(y), static_cast<int>(z)};
        std::atomic<std::uint32_t>& bits = bits_[static_cast<std::size_t>((cube[2] * cubes[1] + cube[1]) * cubes[0] + cube[0])];
        const std::uint32_t found = bits.load(std::memory_order_relaxed);
        return found != 0 ? Locality::of_bits(found) : find(cube, bits);
    }
    Locality find(const std::array<int, 3>& cube, std::atomic<std::uint32_t>& bits) const;

    const HeadModel& head_;
    mutable std::vector<std::atomic<std::uint32_t>> bits_;  ///< of each cube's locality, x fastest; 0 until it is found
};

}  // namespace perisclera::phantoms
