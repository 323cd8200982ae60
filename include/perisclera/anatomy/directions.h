// SPDX-License-Identifier: Apache-2.0
#pragma once
// Evenly spread directions, the sampling of every radial search in this stage.
#include <cmath>
#include <vector>

#include "perisclera/core/frames.h"

namespace perisclera {

/// `count` unit vectors spread evenly over the sphere (Fibonacci lattice: Gonzalez A, Math Geosci 2010;42:49-64).
template <class Frame>
std::vector<Vector<Frame>> even_directions(int count) {
    constexpr double golden_angle = 2.39996322972865332;
    std::vector<Vector<Frame>> directions;
    directions.reserve(static_cast<std::size_t>(count));
    for (int i = 0; i < count; ++i) {
        const double z = 1.0 - (2.0 * i + 1.0) / count;
        const double r = std::sqrt(1.0 - z * z);
        directions.push_back({r * std::cos(golden_angle * i), r * std::sin(golden_angle * i), z});
    }
    return directions;
}

}  // namespace perisclera
