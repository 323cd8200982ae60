// SPDX-License-Identifier: Apache-2.0
#pragma once
// How far stated probabilities are kept: of each case the largest probability stated, and whether the class it belongs to is the true one.
#include <array>
#include <vector>

namespace perisclera::material_sweep {

/// Each of `whole` cases right with this probability: the least and most of them that are right in all but 1 % of repetitions, half a per cent on either side at most (exact binomial).
std::array<int, 2> binomial_band(int whole, double probability);

/// Two-sided exact binomial test at 1 %: is `part` of `whole` outside the band of this probability?
bool rejected(int part, int whole, double probability);

struct StatedCase {
    double probability;   ///< the largest stated
    bool right;
};

struct CalibrationBin {
    int cases = 0, right = 0;
    double mean_stated = 0.0;      ///< 0 without cases
    std::array<int, 2> band{};     ///< of the right ones, at the mean stated probability
    [[nodiscard]] bool inside() const { return band[0] <= right && right <= band[1]; }
};
inline constexpr int calibration_bins = 10;

/// By stated probability, 0 to 0.1, 0.1 to 0.2, …; 1 belongs to the last.
std::array<CalibrationBin, calibration_bins> binned(const std::vector<StatedCase>& cases);

/// Expected calibration error: over the bins, weighted by their cases, the mean size of the difference between the share that is right and the mean stated
/// probability (Naeini MP et al., AAAI 2015, cited from memory). 0 without cases.
double expected_calibration_error(const std::vector<StatedCase>& cases);

/// Case k is an error with probability error[k], each by itself: the most errors that are seen in all but 1 % of repetitions.
int most_errors(const std::vector<double>& error);

}  // namespace perisclera::material_sweep
