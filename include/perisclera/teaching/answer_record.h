// SPDX-License-Identifier: Apache-2.0
#pragma once
// The answer's side of a teaching file as a program reads it (answer/answer.json): key, findings in words, and the pictures with what they show. Made from the report alone.
#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "perisclera/core/result.h"
#include "perisclera/report/report_model.h"
#include "perisclera/report/wording.h"
#include "perisclera/teaching/question.h"

namespace perisclera::teaching {

struct StatedElement {
    std::string id;
    std::string label;           ///< the report's word: "hydrogel", ..., "undetermined"
    double probability = 0.0;    ///< of the label, or of the likeliest where there is none
};

/// One eye as of the latest visit that shows it.
struct StatedEye {
    Eye eye;
    std::string presence;        ///< the report's word
    std::vector<StatedElement> elements;
    report::EyeFinding words;    ///< without the sentences on globe and muscles
};

/// A picture of the report, in the plane through an element's largest section or, where nothing was found, through the eye's horizontal.
struct AnswerFigure {
    std::string plain, outlined;               ///< below answer/; outlined empty where there is nothing to draw
    std::string date, role, shows, plane;      ///< role: the report's word; shows and plane in words
    Eye eye;
    std::string element;                       ///< whose section it is; empty for none
    double black, white;                       ///< of the grey scale, in the series' unit
    std::optional<std::array<double, 2>> tip;  ///< the element's point furthest from the globe's centre, in shares of the picture's width from its upper left
};

struct AnswerRecord {
    bool simulated = false;
    int dates = 0;
    std::vector<std::string> roles;            ///< of the series used, each once
    std::vector<StatedEye> eyes;
    std::vector<AnswerKey> keys;               ///< one for each question
    std::vector<AnswerFigure> figures;
    std::vector<std::string> points;           ///< teaching points with their sources
};

/// `asked`: as the question's side shows them.
AnswerRecord answer_record(const report::ReportModel& model, const std::vector<Question>& asked);
std::string to_json(const AnswerRecord& record);
/// Error: bad_value, for a text that is no answer.json of this format version.
Result<AnswerRecord> parse_answer(std::string_view json);

}  // namespace perisclera::teaching
