// SPDX-License-Identifier: Apache-2.0
#include "coverage.h"

#include <cmath>

namespace perisclera::globes {

bool rejected_against_95_percent(int held, int all) {
    constexpr double probability = 0.95, tail = 0.005;
    const auto exactly = [&](int k) {
        return std::exp(std::lgamma(all + 1.0) - std::lgamma(k + 1.0) - std::lgamma(all - k + 1.0) + k * std::log(probability) + (all - k) * std::log(1.0 - probability));
    };
    double so_few = 0.0, so_many = 0.0;
    for (int k = 0; k <= held; ++k) so_few += exactly(k);
    for (int k = held; k <= all; ++k) so_many += exactly(k);
    return so_few < tail || so_many < tail;
}

Coverage coverage_of(const std::vector<Claim>& claims) {
    Coverage coverage;
    double squares = 0.0, sum = 0.0, widths = 0.0;
    int errors = 0;
    for (const Claim& claim : claims) {
        ++coverage.all;
        coverage.held += claim.holds;
        widths += claim.half_width * claim.half_width;
        for (const double error : claim.errors) ++errors, sum += error, squares += error * error;
    }
    if (errors == 0) return coverage;
    const double mean = sum / errors;
    coverage.half_width = std::sqrt(widths / coverage.all);
    coverage.deviation = std::sqrt(std::max(squares / errors - mean * mean, 0.0));
    return coverage;
}

}  // namespace perisclera::globes
