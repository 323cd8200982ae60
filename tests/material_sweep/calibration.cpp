// SPDX-License-Identifier: Apache-2.0
#include "calibration.h"

#include <algorithm>
#include <cmath>

namespace perisclera::material_sweep {

namespace {

double binomial(int part, int whole, double p) {
    if (p <= 0.0) return part == 0 ? 1.0 : 0.0;
    if (p >= 1.0) return part == whole ? 1.0 : 0.0;
    return std::exp(std::lgamma(whole + 1.0) - std::lgamma(part + 1.0) - std::lgamma(whole - part + 1.0) + part * std::log(p) + (whole - part) * std::log1p(-p));
}

}  // namespace

std::array<int, 2> binomial_band(int whole, double probability) {
    constexpr double tail = 0.005;
    int low = 0, high = whole;
    for (double below = binomial(0, whole, probability); low < whole && below <= tail; below += binomial(low, whole, probability)) ++low;
    for (double above = binomial(whole, whole, probability); high > 0 && above <= tail; above += binomial(high, whole, probability)) --high;
    return {low, high};
}

bool rejected(int part, int whole, double probability) {
    const auto [low, high] = binomial_band(whole, probability);
    return part < low || part > high;
}

std::array<CalibrationBin, calibration_bins> binned(const std::vector<StatedCase>& cases) {
    std::array<CalibrationBin, calibration_bins> bins{};
    for (const StatedCase& c : cases) {
        auto& bin = bins[static_cast<std::size_t>(std::clamp(static_cast<int>(c.probability * calibration_bins), 0, calibration_bins - 1))];
        ++bin.cases;
        bin.right += c.right ? 1 : 0;
        bin.mean_stated += c.probability;
    }
    for (CalibrationBin& bin : bins) {
        if (bin.cases > 0) bin.mean_stated /= bin.cases;
        bin.band = binomial_band(bin.cases, std::min(bin.mean_stated, 1.0));
    }
    return bins;
}

double expected_calibration_error(const std::vector<StatedCase>& cases) {
    double sum = 0.0;
    for (const CalibrationBin& bin : binned(cases))
        if (bin.cases > 0) sum += std::abs(bin.right - bin.cases * bin.mean_stated);
    return cases.empty() ? 0.0 : sum / static_cast<double>(cases.size());
}

int most_errors(const std::vector<double>& error) {
    // The distribution of their number, case by case.
    std::vector<double> chance{1.0};
    for (const double p : error) {
        chance.push_back(0.0);
        for (std::size_t k = chance.size() - 1; k > 0; --k) chance[k] = chance[k] * (1.0 - p) + chance[k - 1] * p;
        chance[0] *= 1.0 - p;
    }
    double at_most = chance[0];
    std::size_t most = 0;
    while (at_most < 0.99 && most + 1 < chance.size()) at_most += chance[++most];
    return static_cast<int>(most);
}

}  // namespace perisclera::material_sweep
