// SPDX-License-Identifier: Apache-2.0
#include "mutual_information.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "perisclera/core/quantile.h"

namespace perisclera {

float MutualInformation::Range::bin_of(float value) const { return std::clamp((value - low) * scale, 0.0f, static_cast<float>(bins - 1)); }

MutualInformation::Range MutualInformation::range_of(std::vector<float> values) {
    std::erase_if(values, [](float v) { return std::isnan(v); });
    if (values.empty()) return {};
    const auto low = static_cast<float>(quantile(values, 0.01)), high = static_cast<float>(quantile(std::move(values), 0.99));
    return {low, high > low ? static_cast<float>(bins - 1) / (high - low) : 0.0f};
}

MutualInformation::MutualInformation(const std::vector<float>& first) {
    const Range range = range_of(first);
    first_bin_.reserve(first.size());
    for (const float v : first) first_bin_.push_back(static_cast<int>(std::lround(range.bin_of(v))));
}

void MutualInformation::set_second_range(const std::vector<float>& second) { second_range_ = range_of(second); }

double MutualInformation::with(const std::vector<float>& second) const {
    std::array<std::array<double, bins>, bins> joint{};
    double n = 0.0;
    for (std::size_t i = 0; i < second.size(); ++i) {
        if (std::isnan(second[i])) continue;
        const float at = second_range_.bin_of(second[i]);
        const int bin = std::min(static_cast<int>(at), bins - 2);
        const double share = static_cast<double>(at) - bin;
        auto& row = joint[static_cast<std::size_t>(first_bin_[i])];
        row[static_cast<std::size_t>(bin)] += 1.0 - share;
        row[static_cast<std::size_t>(bin) + 1] += share;
        n += 1.0;
    }
    if (n == 0.0) return 0.0;
    std::array<double, bins> of_first{}, of_second{};
    double sum = 0.0;
    const auto add = [&](double count) { return count > 0.0 ? count * std::log(count) : 0.0; };
    for (std::size_t a = 0; a < bins; ++a)
        for (std::size_t b = 0; b < bins; ++b) of_first[a] += joint[a][b], of_second[b] += joint[a][b], sum += add(joint[a][b]);
    for (std::size_t a = 0; a < bins; ++a) sum -= add(of_first[a]) + add(of_second[a]);
    return sum / n + std::log(n);
}

}  // namespace perisclera
