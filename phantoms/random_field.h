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

/// Smooth unevenness of tissue: mean 0, standard deviation about 1, patches of some 2.5 mm, fixed to the head.
inline double unevenness_at(HeadPoint p, std::uint64_t key) {
    constexpr double pitch = 2.5, to_unit_deviation = 3.2;
    const double x = p.x / pitch + 4096.0, y = p.y / pitch + 4096.0, z = p.z / pitch + 4096.0;
    const double fx = std::floor(x), fy = std::floor(y), fz = std::floor(z);
    const auto at = [&](int i, int j, int k) {
        const auto cell = static_cast<std::uint64_t>(fx + i) | static_cast<std::uint64_t>(fy + j) << 16 | static_cast<std::uint64_t>(fz + k) << 32;
        return static_cast<double>(mixed(key ^ cell) >> 11) / 4503599627370496.0 - 1.0;
    };
    const auto along = [&](int j, int k) { return between(at(0, j, k), at(1, j, k), x - fx); };
    return to_unit_deviation * between(between(along(0, 0), along(1, 0), y - fy), between(along(0, 1), along(1, 1), y - fy), z - fz);
}

}  // namespace perisclera::phantoms
