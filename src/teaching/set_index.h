// SPDX-License-Identifier: Apache-2.0
#pragma once
// The two index pages of a set.
#include "perisclera/teaching/teaching_set.h"

namespace perisclera::teaching {

/// "case-3/".
std::string case_folder(std::size_t number);

/// Made of the questions' records alone; `slides`: how many each case has.
std::string student_index(const std::vector<QuestionRecord>& cases, const std::vector<std::size_t>& slides);
std::string teacher_index(const std::vector<SetCase>& cases);

}  // namespace perisclera::teaching
