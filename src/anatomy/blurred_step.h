// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <array>
#include <cmath>
#include <numbers>

namespace perisclera {

/// A sharp step from 0 to 1 seen through a Gaussian blur: at `distance` beyond the step, by the blur's standard deviation. From a table, to 2e-6: it is asked for a
/// million times.
inline double blurred_step(double distance, double blur) {
    constexpr double reach = 6.0, spacing = 1.0 / 128.0;
    constexpr auto last = static_cast<std::size_t>(2.0 * reach / spacing);
    static const std::array<double, last + 1> table = [] {
        std::array<double, last + 1> t{};
        for (std::size_t i = 0; i <= last; ++i) t[i] = 0.5 * std::erfc((reach - static_cast<double>(i) * spacing) / std::numbers::sqrt2);
        return t;
    }();
    const double at = (distance / blur + reach) / spacing;
    if (at <= 0.0) return 0.0;
    if (at >= static_cast<double>(last)) return 1.0;
    const auto i = static_cast<std::size_t>(at);
    return table[i] + (at - static_cast<double>(i)) * (table[i + 1] - table[i]);
}

}  // namespace perisclera
