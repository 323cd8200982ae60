// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "candidate_regions.h"

namespace perisclera {

std::vector<float> meridional_top_hat(const std::vector<float>& values, int window) {
    constexpr int n = PolarBlock::polar_count;
    std::vector<float> out(values.size());
    std::vector<float> line(n), eroded(n);
    const int half = window / 2;
    for (int c = 0; c < PolarBlock::clock_count; ++c)
        for (int h = 0; h < PolarBlock::height_count; ++h) {
            for (int p = 0; p < n; ++p) line[static_cast<std::size_t>(p)] = values[PolarBlock::index(c, p, h)];
            const auto extreme = [&](const std::vector<float>& from, int p, bool lowest) {
                const auto first = from.begin() + std::max(0, p - half), last = from.begin() + std::min(n, p + half + 1);
                return lowest ? *std::min_element(first, last) : *std::max_element(first, last);
            };
            for (int p = 0; p < n; ++p) eroded[static_cast<std::size_t>(p)] = extreme(line, p, true);
            for (int p = 0; p < n; ++p)
                out[PolarBlock::index(c, p, h)] = line[static_cast<std::size_t>(p)] - extreme(eroded, p, false);
        }
    return out;
}

}  // namespace perisclera
