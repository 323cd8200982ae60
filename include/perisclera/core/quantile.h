// SPDX-License-Identifier: Apache-2.0
#pragma once
// Quantiles of small samples, by rank without interpolation.
#include <algorithm>
#include <cstddef>
#include <vector>

namespace perisclera {

/// The value of rank q (0..1) of a copied sample; 0 for an empty one.
template <class Value = float>
[[nodiscard]] double quantile(std::vector<Value> sample, double q) {
    if (sample.empty()) return 0.0;
    const auto k = static_cast<std::ptrdiff_t>(q * static_cast<double>(sample.size() - 1));
    std::nth_element(sample.begin(), sample.begin() + k, sample.end());
    return static_cast<double>(sample[static_cast<std::size_t>(k)]);
}

}  // namespace perisclera
