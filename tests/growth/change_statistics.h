// SPDX-License-Identifier: Apache-2.0
#pragma once
// The arithmetic of the growth sweep: shares with their intervals, differences over what was stated of them.
#include <array>
#include <optional>
#include <vector>

namespace perisclera::growth {

/// The exact 95 % interval of a probability of which `part` of `whole` were seen (Clopper and Pearson, Biometrika 1934;26:404-413). Precondition: 0 <= part <= whole, 0 < whole.
std::array<double, 2> binomial_interval(int part, int whole);

struct Spread {
    double mean, deviation;   ///< standard deviation of the sample (n - 1)
};
/// Nothing of fewer than two.
std::optional<Spread> spread_of(const std::vector<double>& values);

/// The errors of both visits' logarithms of volume, and the standard uncertainty that each visit states of its own.
struct PairedErrors {
    std::array<double, 2> error, uncertainty;
};

/// Pearson's correlation of the first visits' errors with the second's; nothing of fewer than three, or where one does not vary.
std::optional<double> correlation_of(const std::vector<PairedErrors>& pairs);

/// The share of uncertainty that both visits have in common, by which the differences' squares are on the whole what is stated: the r for which the sum of
/// (d^2) over the pairs is that of u1^2 + u2^2 - 2 r u1 u2. May lie outside 0 to 1, where uncertainties are stated too small or too large; nothing without pairs.
std::optional<double> shared_share(const std::vector<PairedErrors>& pairs);

/// The probability that a change of `ratio` times the stated smallest one gets its verdict, on the logarithmic scale and with errors as stated: the smallest
/// change is 1.96 standard uncertainties, a verdict needs 2.576.
double power_as_stated(double ratio);

}  // namespace perisclera::growth
