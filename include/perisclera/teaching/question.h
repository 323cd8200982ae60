// SPDX-License-Identifier: Apache-2.0
#pragma once
// Questions on a case, alike for every case: what they ask and which answers they offer depends on nothing that was found, so that they give nothing away. The order of the answers
// is drawn. What is right comes from the report alone, and only the answer's side knows it.
#include <cstdint>
#include <string>
#include <vector>

#include "perisclera/core/text.h"
#include "perisclera/report/report_model.h"

namespace perisclera::teaching {

struct Choice {
    std::string text;
    std::string lookalike;    ///< for the answer's side: why it comes into question, and what tells it apart
};

struct Question {
    std::string id;           ///< "Q1", ...
    std::string text;
    std::vector<Choice> choices;
};

/// The questions, their answers in the order drawn by `seed`.
std::vector<Question> questions(std::uint64_t seed);

struct AnswerKey {
    std::vector<std::size_t> right;   ///< which choices, several where an eye has elements of several materials
    std::string why;                  ///< from the report's evidence
};

/// One for each question. Choices are told apart by their text.
std::vector<AnswerKey> answer_keys(const std::vector<Question>& asked, const report::ReportModel& model);

/// On every page.
inline const std::string caution = say("question.caution");

}  // namespace perisclera::teaching
