// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <array>
#include <cmath>
#include <numbers>

namespace perisclera {

/// A sharp step from 0 to 1 seen through a Gaussian blur, as a table, to 2e-6: it is asked for a million times.
struct BlurredStepTable {
    static constexpr double reach = 6.0, spacing = 1.0 / 128.0;   ///< standard deviations
    static constexpr auto last = static_cast<std::size_t>(2.0 * reach / spacing);
    std::array<double, last + 1> at{};
    BlurredStepTable() {
        for (std::size_t i = 0; i <= last; ++i) at[i] = 0.5 * std::erfc((reach - static_cast<double>(i) * spacing) / std::numbers::sqrt2);
    }
};
inline const BlurredStepTable blurred_step_table;

/// At `distance` beyond the step, by the blur's standard deviation.
inline double blurred_step(double distance, double blur) {
    const double at = (distance / blur + BlurredStepTable::reach) / BlurredStepTable::spacing;
    if (at <= 0.0) return 0.0;
    if (at >= static_cast<double>(BlurredStepTable::last)) return 1.0;
    const auto i = static_cast<std::size_t>(at);
    return blurred_step_table.at[i] + (at - static_cast<double>(i)) * (blurred_step_table.at[i + 1] - blurred_step_table.at[i]);
}

}  // namespace perisclera
