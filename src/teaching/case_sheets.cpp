// SPDX-License-Identifier: Apache-2.0
#include "case_sheets.h"

#include <algorithm>
#include <sstream>

#include "perisclera/core/text.h"
#include "sheet.h"

namespace perisclera::teaching {

namespace {

bool is_right(const AnswerKey& key, std::size_t choice) { return std::find(key.right.begin(), key.right.end(), choice) != key.right.end(); }

void write_history(Sheet& sheet, const std::string& history) {
    if (history.empty()) return;
    sheet.heading(say("question.history"));
    std::istringstream lines(history);
    for (std::string line; std::getline(lines, line);)
        if (!line.empty()) sheet.text(line);
}

/// With the right choices filled where there is a key.
void write_question(Sheet& sheet, const Question& question, const AnswerKey* key) {
    sheet.gap();
    sheet.strong(question.id + ". " + question.text);
    for (std::size_t c = 0; c < question.choices.size(); ++c) sheet.choice(choice_letter(c), question.choices[c].text, key != nullptr && is_right(*key, c));
}

std::vector<std::string> head_row(const QuestionRecord& first) {
    std::vector<std::string> head{say("set.case_column")};
    for (const Question& q : first.asked) head.push_back(q.id);
    return head;
}

}  // namespace

Result<std::string> question_sheet(const QuestionRecord& question, const std::vector<report::GreyPixels>& squares, std::size_t number) {
    Sheet sheet(say("set.sheet_title", {{"number", std::to_string(number)}}), question.simulated);
    sheet.text(say("set.sheet_name"));
    write_history(sheet, question.history);
    std::vector<report::GreyPixels> printed;
    std::transform(squares.begin(), squares.end(), std::back_inserter(printed), halved);
    for (const PictureGrid& grid : picture_grids(question.pictures, EyesGoBy::row)) sheet.pictures(grid, printed);
    sheet.next_page();
    sheet.heading(say("question.questions"));
    for (const Question& q : question.asked) write_question(sheet, q, nullptr);
    sheet.heading(say("set.sheet_reasons"));
    sheet.writing_lines(7);
    return sheet.pdf();
}

Result<std::string> key_sheet(const QuestionRecord& question, const AnswerRecord& answer, const FigureOf& figure, std::size_t number) {
    Sheet sheet(say("set.key_title", {{"number", std::to_string(number)}}), answer.simulated);
    sheet.heading(say("solution.findings"));
    for (const StatedEye& eye : answer.eyes) {
        sheet.strong(eye.words.headline);
        for (const std::string& sentence : eye.words.sentences) sheet.text(sentence);
        for (const report::ElementFinding& element : eye.words.elements) {
            sheet.text(element.title, 8.0);
            for (const std::string& sentence : element.sentences) sheet.text(sentence, 16.0);
        }
    }
    std::vector<std::pair<report::GreyPixels, std::string>> pictures;
    for (const AnswerFigure& f : answer.figures) {
        const auto drawn = figure(f.outlined.empty() ? f.plain : f.outlined);
        if (!drawn) return drawn.error();
        pictures.emplace_back(halved(square_part(drawn.value())), say("set.figure", {{"shows", f.shows}, {"date", f.date}, {"plane", f.plane}}));
    }
    if (!pictures.empty()) sheet.captioned(pictures);
    sheet.heading(say("set.key_key"));
    for (std::size_t q = 0; q < question.asked.size(); ++q) {
        write_question(sheet, question.asked[q], &answer.keys[q]);
        sheet.text(say("solution.why", {{"why", answer.keys[q].why}}));
    }
    if (!answer.points.empty()) sheet.heading(say("solution.points"));
    for (const std::string& point : answer.points) sheet.text("• " + point, 8.0);
    return sheet.pdf();
}

Result<std::string> set_sheet(const std::vector<QuestionRecord>& cases) {
    Sheet sheet(say("set.sheet_all"), std::any_of(cases.begin(), cases.end(), [](const QuestionRecord& c) { return c.simulated; }));
    sheet.text(say("set.sheet_name"));
    sheet.text(say("set.sheet_letters"));
    sheet.row(head_row(cases.front()), true);
    for (std::size_t k = 0; k < cases.size(); ++k) {
        std::vector<std::string> cells(cases[k].asked.size() + 1);
        cells.front() = say("set.case", {{"number", std::to_string(k + 1)}});
        sheet.row(cells, false);
    }
    sheet.heading(say("set.sheet_remarks"));
    sheet.writing_lines(8);
    return sheet.pdf();
}

Result<std::string> set_key(const std::vector<QuestionRecord>& cases, const std::vector<AnswerRecord>& answers) {
    Sheet sheet(say("set.key_all"), std::any_of(cases.begin(), cases.end(), [](const QuestionRecord& c) { return c.simulated; }));
    sheet.text(say("set.sheet_letters"));
    sheet.row(head_row(cases.front()), true);
    for (std::size_t k = 0; k < cases.size(); ++k) {
        std::vector<std::string> cells{say("set.case", {{"number", std::to_string(k + 1)}})};
        for (const AnswerKey& key : answers[k].keys) {
            std::string letters;
            for (const std::size_t right : key.right) letters += (letters.empty() ? "" : ", ") + choice_letter(right);
            cells.push_back(letters);
        }
        sheet.row(cells, false);
    }
    for (std::size_t k = 0; k < answers.size(); ++k) {
        sheet.heading(say("set.case", {{"number", std::to_string(k + 1)}}));
        for (const StatedEye& eye : answers[k].eyes) {
            sheet.text(eye.words.headline);
            for (const report::ElementFinding& element : eye.words.elements)
                sheet.text(element.title + (element.sentences.empty() ? "" : ". " + element.sentences.front()), 8.0);
        }
    }
    return sheet.pdf();
}

}  // namespace perisclera::teaching
