// SPDX-License-Identifier: Apache-2.0
#pragma once
// How hard a case is for a learner, from what its answer states. It follows from the answer, so it is for the teacher's side alone. Which facts count, and how much, is common
// practice, no source.
#include <string>
#include <string_view>
#include <vector>

#include "perisclera/teaching/answer_record.h"

namespace perisclera::teaching {

enum class Level { introductory, intermediate, advanced };
inline constexpr std::array<Level, 3> all_levels{Level::introductory, Level::intermediate, Level::advanced};
std::string_view name(Level level);

struct CaseLevel {
    Level level;
    std::vector<std::string> why;   ///< in words, one for each fact that makes it harder; or what makes it easy
};

/// Advanced: a material undetermined, a look-alike, presence uncertain, or no explant at all. Intermediate: a label below 99 %, fewer than the three of CT, T1 and T2, several elements
/// or several dates. Else introductory.
CaseLevel level_of(const AnswerRecord& answer);

}  // namespace perisclera::teaching
