// SPDX-License-Identifier: Apache-2.0
#pragma once
// The most probable pose from a start: one number after the other, each by the parabola through three places, in ever smaller steps. The same bits every time.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>

namespace perisclera {

/// A rotation vector (radians), then a shift (mm).
using Pose = std::array<double, 6>;

struct Found {
    Pose pose;
    double value;   ///< log probability, nats
};

/// `probability`: of a Pose, its logarithm.
template <class Probability>
Found uphill(Probability& probability, Found from, Pose step, int rounds) {
    for (int round = 0; round < rounds; ++round) {
        for (std::size_t k = 0; k < step.size(); ++k) {
            const auto at = [&](double off) {
                Pose pose = from.pose;
                pose[k] += off;
                return Found{pose, probability(pose)};
            };
            const Found low = at(-step[k]), high = at(step[k]);
            const double bend = low.value + high.value - 2.0 * from.value;
            Found best = low.value > high.value ? low : high;
            if (bend < 0.0) {
                const Found top = at(std::clamp(0.5 * step[k] * (low.value - high.value) / bend, -2.0 * step[k], 2.0 * step[k]));
                if (top.value > best.value) best = top;
            }
            if (best.value > from.value) from = best;
        }
        for (double& s : step) s *= 0.6;
    }
    return from;
}

/// By how much a number of the pose may be off (standard): how fast the probability falls.
template <class Probability>
double doubt_of(Probability& probability, const Found& found, std::size_t k, double step) {
    Pose low = found.pose, high = found.pose;
    low[k] -= step;
    high[k] += step;
    const double bend = (2.0 * found.value - probability(low) - probability(high)) / (step * step);
    return bend > 0.0 ? std::sqrt(1.0 / bend) : std::numeric_limits<double>::infinity();
}

}  // namespace perisclera
