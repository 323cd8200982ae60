// SPDX-License-Identifier: Apache-2.0
#include "perisclera/report/probability_words.h"

#include <algorithm>
#include <cmath>

namespace perisclera::report {

std::string percent_in_words(double p) {
    if (p > 0.995) return "over 99 %";
    return p < 0.005 ? "under 1 %" : std::to_string(std::lround(100.0 * p)) + " %";
}

std::string probability_in_words(double p) {
    const long percent = std::lround(100.0 * p);
    const auto step = std::find_if(probability_scale.begin(), probability_scale.end(), [&](const ProbabilityStep& s) { return percent >= s.from_percent; });
    return std::string(step == probability_scale.end() ? probability_scale.back().word : step->word) + " (" + percent_in_words(p) + ")";
}

std::string probability_scale_in_words() {
    std::string words = "Words for probability:";
    for (const ProbabilityStep& s : probability_scale)
        words += std::string(&s == &probability_scale.front() ? " " : ", ") + std::string(s.word) + " " + std::to_string(s.from_percent) + " to " + std::to_string(s.to_percent) + " %";
    return words + ". The scale is this program's own, and so are the probabilities: they follow from its model of the materials and the scan, not from counts of patients.";
}

}  // namespace perisclera::report
