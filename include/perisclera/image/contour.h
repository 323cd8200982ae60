// SPDX-License-Identifier: Apache-2.0
#pragma once
// Lines of equal value through a picture.
#include <cstddef>
#include <vector>

namespace perisclera {

struct ContourPoint {
    double x, y;   ///< pixel coordinates, (0, 0) the centre of the first pixel
};
using Contour = std::vector<ContourPoint>;

/// The lines where `values` (row after row, width * height) pass `level`, by linear interpolation; closed ones repeat
/// their first point at the end. Precondition: values.size() == width * height.
std::vector<Contour> contours(const std::vector<float>& values, std::size_t width, std::size_t height, double level);

}  // namespace perisclera
