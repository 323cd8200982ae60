// SPDX-License-Identifier: Apache-2.0
#pragma once
// The one scale by which a probability becomes a word, the program's own; the page prints it whole. A word always stands beside its rounded percent.
#include <array>
#include <string>
#include <string_view>

namespace perisclera::report {

/// Whole percent, both ends within.
struct ProbabilityStep {
    int from_percent, to_percent;
    std::string_view key;   ///< of its word in the catalogue
};
inline constexpr std::array<ProbabilityStep, 7> probability_scale{{{99, 100, "probability.almost_certain"},
                                                                   {90, 98, "probability.very_likely"},
                                                                   {70, 89, "probability.likely"},
                                                                   {30, 69, "probability.possible"},
                                                                   {10, 29, "probability.unlikely"},
                                                                   {2, 9, "probability.very_unlikely"},
                                                                   {0, 1, "probability.almost_excluded"}}};

/// "97 %"; "over 99 %" and "under 1 %" where rounding would claim certainty. Precondition: 0 <= p <= 1.
std::string percent_in_words(double p);
/// "very likely (97 %)".
std::string probability_in_words(double p);
/// The scale in one sentence, and what it is a scale of.
std::string probability_scale_in_words();

}  // namespace perisclera::report
