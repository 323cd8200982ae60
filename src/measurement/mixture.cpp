// SPDX-License-Identifier: Apache-2.0
#include "mixture.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace perisclera {

namespace {

/// Where a rising function of [low, high] from 0 to 1 passes `level`, by halving.
template <class Function>
double crossing(double low, double high, double level, const Function& f) {
    for (int k = 0; k < 60; ++k) {
        const double middle = 0.5 * (low + high);
        (f(middle) < level ? low : high) = middle;
    }
    return 0.5 * (low + high);
}

template <class Function>
Spread spread_of(double low, double high, const Function& f) {
    return {crossing(low, high, 0.5, f), crossing(low, high, 0.025, f), crossing(low, high, 0.975, f)};
}

/// Of normal distributions, each with its weight.
Spread spread_of(const std::vector<MixturePart>& parts, const std::vector<double>& weight, double MixturePart::*mean, double MixturePart::*uncertainty) {
    constexpr double reach = 6.0;
    double low = 1e300, high = -1e300;
    for (const MixturePart& p : parts) low = std::min(low, p.*mean - reach * (p.*uncertainty)), high = std::max(high, p.*mean + reach * (p.*uncertainty));
    return spread_of(low, high, [&](double z) {
        double sum = 0.0;
        for (std::size_t i = 0; i < parts.size(); ++i) sum += weight[i] * 0.5 * std::erfc((parts[i].*mean - z) / (std::max(parts[i].*uncertainty, 1e-12) * std::numbers::sqrt2));
        return sum;
    });
}

}  // namespace

Mixture::Mixture(std::vector<MixturePart> parts) : parts_(std::move(parts)) {
    std::sort(parts_.begin(), parts_.end(), [](const MixturePart& a, const MixturePart& b) { return a.thickness < b.thickness; });
    double most = -1e300, sum = 0.0;
    for (const MixturePart& p : parts_) most = std::max(most, p.log_weight);
    for (const MixturePart& p : parts_) weight_.push_back(std::exp(p.log_weight - most)), sum += weight_.back();
    for (double& w : weight_) w /= sum;
}

Spread Mixture::thickness() const {
    // Each part stands for the stretch to half way to its neighbours, on the logarithm.
    const double half = parts_.size() > 1 ? 0.5 * std::log(parts_[1].thickness / parts_[0].thickness) : 0.0;
    const Spread logs = spread_of(std::log(parts_.front().thickness) - half, std::log(parts_.back().thickness) + half, [&](double z) {
        double sum = 0.0;
        for (std::size_t i = 0; i < parts_.size(); ++i) sum += weight_[i] * std::clamp((z - std::log(parts_[i].thickness) + half) / std::max(2.0 * half, 1e-12), 0.0, 1.0);
        return sum;
    });
    return {std::exp(logs.median), std::exp(logs.low), std::exp(logs.high)};
}

Spread Mixture::value() const { return spread_of(parts_, weight_, &MixturePart::value, &MixturePart::value_uncertainty); }

Spread Mixture::mass() const { return spread_of(parts_, weight_, &MixturePart::mass, &MixturePart::mass_uncertainty); }

std::vector<PossibleThickness> Mixture::possible() const {
    std::vector<PossibleThickness> out;
    for (std::size_t i = 0; i < parts_.size(); ++i) out.push_back({parts_[i].thickness, weight_[i], parts_[i].value, parts_[i].value_uncertainty});
    return out;
}

double Mixture::correlation() const {
    double t = 0.0, v = 0.0;
    for (std::size_t i = 0; i < parts_.size(); ++i) t += weight_[i] * parts_[i].thickness, v += weight_[i] * parts_[i].value;
    double tt = 0.0, vv = 0.0, tv = 0.0;
    for (std::size_t i = 0; i < parts_.size(); ++i) {
        const double dt = parts_[i].thickness - t, dv = parts_[i].value - v;
        tt += weight_[i] * dt * dt, tv += weight_[i] * dt * dv, vv += weight_[i] * (dv * dv + parts_[i].value_uncertainty * parts_[i].value_uncertainty);
    }
    return tt > 0.0 && vv > 0.0 ? tv / std::sqrt(tt * vv) : 0.0;
}

}  // namespace perisclera
