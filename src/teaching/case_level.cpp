// SPDX-License-Identifier: Apache-2.0
#include "perisclera/teaching/case_level.h"

#include <algorithm>

#include "perisclera/core/text.h"
#include "weighting.h"

namespace perisclera::teaching {

std::string_view name(Level level) {
    switch (level) {
        case Level::introductory: return "introductory";
        case Level::intermediate: return "intermediate";
        case Level::advanced: return "advanced";
    }
    return "advanced";
}

CaseLevel level_of(const AnswerRecord& answer) {
    constexpr double sure = 0.99;
    std::vector<std::string> hard, middling;
    std::size_t elements = 0;
    bool unsure = false;
    const auto add = [](std::vector<std::string>& to, std::string words) {
        if (std::find(to.begin(), to.end(), words) == to.end()) to.push_back(std::move(words));
    };
    for (const StatedEye& eye : answer.eyes) {
        if (eye.presence == "uncertain") add(hard, say("set.level_uncertain"));
        for (const StatedElement& element : eye.elements) {
            ++elements;
            if (element.label == "undetermined") add(hard, say("set.level_undetermined"));
            else if (element.label == "other") add(hard, say("set.level_look_alike"));
            else unsure = unsure || element.probability < sure;
        }
    }
    if (elements == 0) add(hard, say("set.level_nothing"));
    if (unsure) add(middling, say("set.level_unsure"));
    const auto shown = [&](Weighting w) { return std::any_of(answer.roles.begin(), answer.roles.end(), [&](const std::string& role) { return weighting_of(role) == w; }); };
    if (!std::all_of(all_weightings.begin(), all_weightings.end(), shown)) add(middling, say("set.level_few_series"));
    if (elements > 1) add(middling, say("set.level_several_elements"));
    if (answer.dates > 1) add(middling, say("set.level_several_dates"));
    const Level level = !hard.empty() ? Level::advanced : !middling.empty() ? Level::intermediate : Level::introductory;
    hard.insert(hard.end(), middling.begin(), middling.end());
    if (hard.empty()) hard.push_back(say("set.level_easy"));
    return {level, std::move(hard)};
}

}  // namespace perisclera::teaching
