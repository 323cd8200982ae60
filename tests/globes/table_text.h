// SPDX-License-Identifier: Apache-2.0
#pragma once
// Cells of the tables of globe and alignment sweeps.
#include <cmath>
#include <cstdio>
#include <string>
#include <vector>

#include "perisclera/core/quantile.h"

namespace perisclera::globes {

/// With so many decimals; never "-0".
inline std::string fixed(double value, int decimals) {
    const double unit = std::pow(10.0, -decimals);
    char text[32];
    std::snprintf(text, sizeof text, "%.*f", decimals, std::abs(value) < 0.5 * unit ? 0.0 : value);
    return text;
}

inline std::string share(std::size_t part, std::size_t whole) { return std::to_string(part) + " of " + std::to_string(whole); }
inline std::string percent(std::size_t part, std::size_t whole) { return whole == 0 ? "–" : fixed(100.0 * static_cast<double>(part) / static_cast<double>(whole), 0) + " %"; }

inline std::vector<double> sizes(std::vector<double> values) {
    for (double& value : values) value = std::abs(value);
    return values;
}

/// "0.12, 0.45": median and 95th percentile of the sizes.
inline std::string median_and_95th(const std::vector<double>& values, int decimals) {
    return values.empty() ? "–" : fixed(quantile(sizes(values), 0.5), decimals) + ", " + fixed(quantile(sizes(values), 0.95), decimals);
}

/// The signed median, where the error has a direction.
inline std::string middle(const std::vector<double>& values, int decimals) {
    const double median = quantile(values, 0.5);
    return values.empty() ? "–" : (median > 0.0 ? "+" : "") + fixed(median, decimals);
}

}  // namespace perisclera::globes
