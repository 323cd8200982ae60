// SPDX-License-Identifier: Apache-2.0
#include "picture_terms.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace perisclera {

std::string letters_of(PatientVector d) {
    std::array<std::pair<double, char>, 3> parts{{{std::abs(d.x), d.x > 0.0 ? 'L' : 'R'}, {std::abs(d.y), d.y > 0.0 ? 'P' : 'A'}, {std::abs(d.z), d.z > 0.0 ? 'S' : 'I'}}};
    std::stable_sort(parts.begin(), parts.end(), [](const auto& a, const auto& b) { return a.first > b.first; });
    std::string out(1, parts[0].second);
    if (parts[1].first > 0.45) out += parts[1].second;
    return out;
}

Window window_of(const EyeView& view) {
    if (view.modality == Modality::ct) return {-160.0f, 240.0f};
    std::vector<float> sample;
    for (std::size_t i = 0; i < PolarBlock::cell_count; i += 5)
        if (view.block.inside(i)) sample.push_back(view.block.value(i));
    if (sample.empty()) return {0.0f, 1.0f};
    const auto k = static_cast<std::ptrdiff_t>(0.98 * static_cast<double>(sample.size() - 1));
    std::nth_element(sample.begin(), sample.begin() + k, sample.end());
    return {0.0f, std::max(1.0f, sample[static_cast<std::size_t>(k)] * 1.05f)};
}

}  // namespace perisclera
