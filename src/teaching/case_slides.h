// SPDX-License-Identifier: Apache-2.0
#pragma once
// Slides of one case of a set: for the question's side made of its record and pictures alone, for the answer's side of its record and figures.
#include <string>
#include <vector>

#include "perisclera/teaching/teaching_set.h"

namespace perisclera::teaching {

/// "A", "B", ... as the pages letter them.
std::string choice_letter(std::size_t choice);

/// "slide-1.png", ... with the pictures, three series of one date on each; then one with the questions.
Result<std::vector<report::OutputFile>> question_slides(const QuestionRecord& question, const std::vector<report::GreyPixels>& squares, std::size_t number);

/// "answer-slide-1.png", ... one for each element, or for each eye that has pictures where nothing was found.
Result<std::vector<report::OutputFile>> answer_slides(const AnswerRecord& answer, const FigureOf& figure, std::size_t number);

}  // namespace perisclera::teaching
