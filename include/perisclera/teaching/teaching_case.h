// SPDX-License-Identifier: Apache-2.0
#pragma once
// One finished teaching file (a folder that teach wrote) as a set takes it up: both records, the question's page and pictures, the answer's pages.
#include <filesystem>
#include <string>
#include <vector>

#include "perisclera/core/result.h"
#include "perisclera/report/canvas.h"
#include "perisclera/report/render_report.h"
#include "perisclera/teaching/answer_record.h"
#include "perisclera/teaching/question_record.h"

namespace perisclera::teaching {

struct TeachingCase {
    QuestionRecord question;
    AnswerRecord answer;
    std::string question_page;
    std::vector<report::GreyPixels> pictures;        ///< of the question, in order
    std::vector<report::OutputFile> answer_pages;    ///< below answer/: the key's page and the report as page and PDF
};

/// Errors: bad_value (no teaching file, one of another format version or by an earlier version, a part that is missing or cannot be read), limit_reached (a file beyond 64 MB).
Result<TeachingCase> read_teaching_case(const std::filesystem::path& folder);

/// A picture of the answer's side, in `folder`, by its record. Errors: likewise.
Result<report::GreyPixels> read_figure(const std::filesystem::path& folder, const std::string& figure);

/// The digest of what is imaged: cases of one patient's same images have the same, whatever their history or the order of answers.
std::string digest_of_pictures(const TeachingCase& one);

}  // namespace perisclera::teaching
