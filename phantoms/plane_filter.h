// SPDX-License-Identifier: Apache-2.0
// One plane of an image and its blur.
#pragma once

#include <cstddef>
#include <vector>

namespace perisclera::phantoms {

struct Image {
    int width, height;
    std::vector<float> values;
    Image(int w, int h) : width(w), height(h), values(static_cast<std::size_t>(w) * static_cast<std::size_t>(h)) {}
    float& at(int x, int y) { return values[static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x)]; }
    [[nodiscard]] float at(int x, int y) const { return values[static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x)]; }
};

/// Weights at positions spaced 1 apart and symmetric about 0 (`count` of them), of a Gaussian; they add up to 1.
std::vector<double> gaussian(double sigma, int count);

/// Filters rows, then columns; output (i, j) takes the inputs from (i, j) * stride on.
Image filtered(const Image& in, const std::vector<double>& w, int stride, int width, int height);

/// One filter of several whose results, times their weights, are added up.
struct WeightedFilter {
    double weight;
    std::vector<double> taps;
};
/// As above. The filters have equally many taps.
Image filtered(const Image& in, const std::vector<WeightedFilter>& filters, int stride, int width, int height);

}  // namespace perisclera::phantoms
