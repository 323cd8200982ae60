// SPDX-License-Identifier: Apache-2.0
#include "change_statistics.h"

#include <cmath>
#include <numbers>

namespace perisclera::growth {

namespace {

/// Of `part` and fewer among `whole`.
double probability_of_at_most(int part, int whole, double p) {
    if (p <= 0.0) return 1.0;
    if (p >= 1.0) return part >= whole ? 1.0 : 0.0;
    double sum = 0.0;
    for (int k = 0; k <= part; ++k)
        sum += std::exp(std::lgamma(whole + 1.0) - std::lgamma(k + 1.0) - std::lgamma(whole - k + 1.0) + k * std::log(p) + (whole - k) * std::log1p(-p));
    return sum;
}

/// Where a function that falls from above `level` to below it passes it, in 0 to 1.
template <class Falling>
double where_it_passes(const Falling& f, double level) {
    double low = 0.0, high = 1.0;
    for (int k = 0; k < 60; ++k) {
        const double middle = 0.5 * (low + high);
        (f(middle) > level ? low : high) = middle;
    }
    return 0.5 * (low + high);
}

}  // namespace

std::array<double, 2> binomial_interval(int part, int whole) {
    constexpr double tail = 0.025;
    const auto at_most = [&](int k) { return [=](double p) { return probability_of_at_most(k, whole, p); }; };
    return {part == 0 ? 0.0 : where_it_passes(at_most(part - 1), 1.0 - tail), part == whole ? 1.0 : where_it_passes(at_most(part), tail)};
}

std::optional<Spread> spread_of(const std::vector<double>& values) {
    if (values.size() < 2) return std::nullopt;
    const auto n = static_cast<double>(values.size());
    double mean = 0.0, squares = 0.0;
    for (const double v : values) mean += v / n;
    for (const double v : values) squares += (v - mean) * (v - mean);
    return Spread{mean, std::sqrt(squares / (n - 1.0))};
}

std::optional<double> correlation_of(const std::vector<PairedErrors>& pairs) {
    std::array<std::vector<double>, 2> errors;
    for (const PairedErrors& p : pairs) errors[0].push_back(p.error[0]), errors[1].push_back(p.error[1]);
    const auto first = spread_of(errors[0]), second = spread_of(errors[1]);
    if (pairs.size() < 3 || first->deviation == 0.0 || second->deviation == 0.0) return std::nullopt;
    double product = 0.0;
    for (const PairedErrors& p : pairs) product += (p.error[0] - first->mean) * (p.error[1] - second->mean);
    return product / (static_cast<double>(pairs.size() - 1) * first->deviation * second->deviation);
}

std::optional<double> shared_share(const std::vector<PairedErrors>& pairs) {
    double own = 0.0, common = 0.0, seen = 0.0;
    for (const auto& [error, u] : pairs) {
        own += u[0] * u[0] + u[1] * u[1];
        common += 2.0 * u[0] * u[1];
        seen += (error[1] - error[0]) * (error[1] - error[0]);
    }
    return common > 0.0 ? std::optional((own - seen) / common) : std::nullopt;
}

double power_as_stated(double ratio) {
    constexpr double z95 = 1.96, z99 = 2.576;
    return 0.5 * std::erfc((z99 - ratio * z95) / std::numbers::sqrt2);
}

}  // namespace perisclera::growth
