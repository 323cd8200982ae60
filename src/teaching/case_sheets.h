// SPDX-License-Identifier: Apache-2.0
#pragma once
// Sheets to be printed, as PDF: of a case for students (pictures, history, questions, room for answers) and its key for the teacher; of a set a grid for the answers, empty or filled.
#include "case_slides.h"

namespace perisclera::teaching {

/// Made of the question's record and pictures alone.
Result<std::string> question_sheet(const QuestionRecord& question, const std::vector<report::GreyPixels>& squares, std::size_t number);
Result<std::string> key_sheet(const QuestionRecord& question, const AnswerRecord& answer, const FigureOf& figure, std::size_t number);

/// One row for each case, its questions as columns.
Result<std::string> set_sheet(const std::vector<QuestionRecord>& cases);
Result<std::string> set_key(const std::vector<QuestionRecord>& cases, const std::vector<AnswerRecord>& answers);

}  // namespace perisclera::teaching
