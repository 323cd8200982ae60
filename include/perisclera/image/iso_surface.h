// SPDX-License-Identifier: Apache-2.0
#pragma once
// The surface of equal value through a block of samples.
#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

namespace perisclera {

struct IsoSurface {
    std::vector<std::array<double, 3>> corners;             ///< in sample coordinates, (0, 0, 0) the first sample
    std::vector<std::array<std::uint32_t, 3>> triangles;    ///< as seen from where values are lower, corners run anticlockwise
};

/// Where `values` (x fastest, then y, then z) pass `level`, by linear interpolation. Precondition: values.size() is the product of `size`.
IsoSurface iso_surface(const std::vector<float>& values, std::array<std::size_t, 3> size, double level);

}  // namespace perisclera
