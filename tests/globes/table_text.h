// SPDX-License-Identifier: Apache-2.0
#pragma once
// Cells and rows of the tables of globe and alignment sweeps.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>
#include <string>
#include <vector>

#include "perisclera/core/quantile.h"
#include "strata.h"

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

inline std::size_t within(const std::vector<double>& errors, double most) {
    return static_cast<std::size_t>(std::count_if(errors.begin(), errors.end(), [&](double e) { return std::abs(e) <= most; }));
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

/// `text(title, rows)` for each part of each division, in the order in which the rows' strata tell the divisions. Row: has `strata`.
template <class Row, class Text>
std::string by_stratum(const std::vector<const Row*>& rows, const Text& text) {
    std::vector<std::string> divisions;
    std::map<Stratum, std::vector<const Row*>> parts;
    for (const Row* row : rows)
        for (const Stratum& stratum : row->strata) {
            if (std::find(divisions.begin(), divisions.end(), stratum.division) == divisions.end()) divisions.push_back(stratum.division);
            parts[stratum].push_back(row);
        }
    std::string out;
    for (const std::string& division : divisions)
        for (const auto& [stratum, part] : parts)
            if (stratum.division == division) out += text(division == stratum.part ? division : division + ": " + stratum.part, part);
    return out;
}

}  // namespace perisclera::globes
