// SPDX-License-Identifier: Apache-2.0
#include "perisclera/timeline/one_number.h"

#include <algorithm>
#include <cmath>

#include "perisclera/physics/material_table.h"

namespace perisclera {

namespace {

/// How far one explant's CT number differs between two scans: by scanner, place in the head and what hardens the beam (assumed); and between tube voltages, as a share of the number, as
/// what is known of rubbers at other voltages differs (the simulator's depart from the measured one by some 15 %; docs/known_limits.md). A sponge is mostly air.
constexpr double between_scans_hu = 10.0, between_voltages = 0.12, same_kvp = 5.0;

/// The number expected at another date of what shows `hu` at one.
struct Tie {
    double factor, share;   ///< share: of the number, by which voltages may differ from that
    static Tie between(const ThicknessByNumber& a, const ThicknessByNumber& b) {
        if (a.sponge || std::abs(a.kvp - b.kvp) < same_kvp) return {1.0, 0.0};
        return {silicone_voltage_factor(b.kvp) / silicone_voltage_factor(a.kvp), between_voltages};
    }
    [[nodiscard]] Expected of(double hu) const { return {factor * hu, std::hypot(between_scans_hu, share * factor * hu)}; }
};

}  // namespace

std::optional<LogRatio> thickness_under_one_number(const ThicknessByNumber& before, const ThicknessByNumber& after, double shared) {
    if (before.sponge != after.sponge) return std::nullopt;
    const Tie tie = Tie::between(before, after);
    const auto log_weight = [&](const ThicknessByNumber::At& a, const ThicknessByNumber::At& b) {
        const Expected there = tie.of(a.hu);
        return a.log_likelihood + b.log_likelihood + log_likely_number(before.sponge, a.hu, before.kvp) - 0.5 * std::pow((b.hu - there.mean) / there.spread, 2) - std::log(there.spread);
    };
    double most = -1e300;
    for (const auto& a : before.at)
        for (const auto& b : after.at) most = std::max(most, log_weight(a, b));
    // What is known of the number and what one date says of it, against the tie: far beyond that the dates show two makes, or one was misread.
    constexpr double hardly = -12.0;
    if (before.at.empty() || after.at.empty() || most + std::log(between_scans_hu) < hardly) return std::nullopt;
    double sum = 0.0, first = 0.0, second = 0.0;
    for (const auto& a : before.at)
        for (const auto& b : after.at) {
            const double weight = std::exp(log_weight(a, b) - most), u = a.uncertainty_mm / a.thickness_mm, v = b.uncertainty_mm / b.thickness_mm;
            const double ratio = std::log(b.thickness_mm / a.thickness_mm);
            sum += weight, first += weight * ratio, second += weight * (ratio * ratio + u * u + v * v - 2.0 * shared * u * v);
        }
    const double mean = first / sum;
    return LogRatio{mean, std::sqrt(std::max(second / sum - mean * mean, 0.0))};
}

}  // namespace perisclera
