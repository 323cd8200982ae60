// SPDX-License-Identifier: Apache-2.0
#pragma once
// Random numbers by position, not by order: equal for any number of threads. splitmix64 (Steele, Lea, Flood 2014) as a hash of key and index.
#include <array>
#include <cmath>
#include <cstdint>

#include "globe_shape.h"
#include "head_frame.h"
#include "interpolation.h"

namespace perisclera::phantoms {

inline std::uint64_t mixed(std::uint64_t x) {
    x += 0x9e3779b97f4a7c15u;
    x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9u;
    x = (x ^ (x >> 27)) * 0x94d049bb133111ebu;
    return x ^ (x >> 31);
}
inline std::uint64_t mixed(std::uint64_t key, std::uint64_t index) { return mixed(mixed(key) ^ index); }

/// Two independent standard normal numbers of this key and index (Box and Muller).
inline std::array<double, 2> normal_pair(std::uint64_t key, std::uint64_t index) {
    const std::uint64_t bits = mixed(key, index);
    const double u = (static_cast<double>(bits >> 32) + 0.5) / 4294967296.0, v = static_cast<double>(bits & 0xffffffffu) / 4294967296.0;
    const double radius = std::sqrt(-2.0 * std::log(u)), angle = 2.0 * pi * v;
    return {radius * std::cos(angle), radius * std::sin(angle)};
}
/// The first of them.
inline double normal_number(std::uint64_t key, std::uint64_t index) { return normal_pair(key, index)[0]; }

/// Smooth unevenness of tissue: mean 0, standard deviation about 1, patches of some 2.5 mm, fixed to the head. Faster for places close to the one before.
class Unevenness {
public:
    explicit Unevenness(std::uint64_t key) : key_(key) {}
    [[nodiscard]] double at(HeadPoint p) {
        constexpr double pitch = 2.5, to_unit_deviation = 3.2;
        const double x = p.x / pitch + 4096.0, y = p.y / pitch + 4096.0, z = p.z / pitch + 4096.0;
        const std::array<double, 3> cell{std::floor(x), std::floor(y), std::floor(z)};
        if (cell != cell_) enter(cell);
        const auto along = [&](std::size_t edge) { return between(corners_[2 * edge], corners_[2 * edge + 1], x - cell[0]); };
        return to_unit_deviation * between(between(along(0), along(1), y - cell[1]), between(along(2), along(3), y - cell[1]), z - cell[2]);
    }

private:
    void enter(const std::array<double, 3>& cell) {
        cell_ = cell;
        std::size_t next = 0;
        for (const int k : {0, 1})
            for (const int j : {0, 1})
                for (const int i : {0, 1}) {
                    const auto corner = static_cast<std::uint64_t>(cell[0] + i) | static_cast<std::uint64_t>(cell[1] + j) << 16 | static_cast<std::uint64_t>(cell[2] + k) << 32;
                    corners_[next++] = static_cast<double>(mixed(key_ ^ corner) >> 11) / 4503599627370496.0 - 1.0;
                }
    }

    std::uint64_t key_;
    std::array<double, 3> cell_{-1.0, -1.0, -1.0};  ///< of `corners_`; at first none in the head
    std::array<double, 8> corners_{};
};

}  // namespace perisclera::phantoms
