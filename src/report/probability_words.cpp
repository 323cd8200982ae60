// SPDX-License-Identifier: Apache-2.0
#include "perisclera/report/probability_words.h"

#include <algorithm>
#include <cmath>

#include "perisclera/core/text.h"
#include "src/report/word_list.h"

namespace perisclera::report {

std::string percent_in_words(double p) {
    if (p > 0.995) return say("probability.over_99");
    return p < 0.005 ? say("probability.under_1") : say("probability.percent", {{"number", std::to_string(std::lround(100.0 * p))}});
}

std::string probability_in_words(double p) {
    const long percent = std::lround(100.0 * p);
    const auto step = std::find_if(probability_scale.begin(), probability_scale.end(), [&](const ProbabilityStep& s) { return percent >= s.from_percent; });
    return say("probability.with_percent", {{"word", say(step == probability_scale.end() ? probability_scale.back().key : step->key)}, {"percent", percent_in_words(p)}});
}

std::string probability_scale_in_words() {
    std::vector<std::string> steps;
    for (const ProbabilityStep& s : probability_scale) steps.push_back(say("probability.step", {{"word", say(s.key)}, {"from", std::to_string(s.from_percent)}, {"to", std::to_string(s.to_percent)}}));
    return say("probability.scale", {{"steps", joined(steps, ", ")}});
}

}  // namespace perisclera::report
