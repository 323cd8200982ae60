// SPDX-License-Identifier: Apache-2.0
#pragma once
// The question's side of a teaching file as a program reads it (question/question.json): what sheets and slides for students are made from. Like the page it is made from what is imaged
// alone, never from what was found.
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "perisclera/core/result.h"
#include "perisclera/report/report_model.h"
#include "perisclera/teaching/question.h"

namespace perisclera::teaching {

struct QuestionPicture {
    std::string date;    ///< ISO, as moved
    Eye eye;
    int series;          ///< of the case, from 1
    std::string shows;   ///< the kind of series in words
    std::string plane;   ///< in words
};

struct QuestionRecord {
    bool simulated = false;
    std::string history;
    std::vector<QuestionPicture> pictures;   ///< the n-th lies at question_picture_path(n), counted from 1
    std::vector<Question> asked;             ///< their choices without what the answer's side says of them
};

/// Below question/: "images/01.png".
std::string question_picture_path(std::size_t number);

QuestionRecord question_record(const report::ReportModel& model, const std::vector<report::KeyImage>& images, const std::string& history, std::uint64_t seed);
std::string to_json(const QuestionRecord& record);
/// Error: bad_value, for a text that is no question.json of this format version.
Result<QuestionRecord> parse_question(std::string_view json);

}  // namespace perisclera::teaching
