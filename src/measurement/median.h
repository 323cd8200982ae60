// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <algorithm>
#include <vector>

namespace perisclera {

/// The upper of both middle ones where their number is even. Precondition: not empty.
inline double median(std::vector<double> v) {
    const auto middle = v.begin() + static_cast<std::ptrdiff_t>(v.size() / 2);
    std::nth_element(v.begin(), middle, v.end());
    return *middle;
}

}  // namespace perisclera
