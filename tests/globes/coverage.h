// SPDX-License-Identifier: Apache-2.0
#pragma once
// Are stated 95 % intervals true? The rule of all sweeps: the share that holds the truth is not rejected against 95 % by a two-sided binomial test at 1 % (from
// 1,500 on: it lies between 93 and 97 %), it is at least 90 % in each stratum of 100 and more, and half an interval's width is at most 2.5 standard deviations
// of the error.
#include <vector>

#include "globe_comparison.h"

namespace perisclera::globes {

/// Is this many of them unlikely with a true 95 %: a probability below 0.5 % of so few, or of so many?
bool rejected_against_95_percent(int held, int all);

struct Coverage {
    int held = 0, all = 0;
    double half_width = 0.0;   ///< root mean square
    double deviation = 0.0;    ///< standard deviation of the error's components
    [[nodiscard]] double share() const { return all > 0 ? static_cast<double>(held) / all : 0.0; }
    /// By the rule for a whole sweep.
    [[nodiscard]] bool is_off() const { return all >= 1500 ? share() < 0.93 || share() > 0.97 : rejected_against_95_percent(held, all); }
    [[nodiscard]] bool is_too_wide() const { return half_width > 2.5 * deviation; }
};

Coverage coverage_of(const std::vector<Claim>& claims);

}  // namespace perisclera::globes
