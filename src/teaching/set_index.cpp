// SPDX-License-Identifier: Apache-2.0
#include "set_index.h"

#include <algorithm>
#include <set>

#include "page_frame.h"
#include "perisclera/core/text.h"
#include "perisclera/report/html.h"

namespace perisclera::teaching {

namespace {

using report::escaped;

std::string tagged(const char* tag, const std::string& text) { return "<" + std::string(tag) + ">" + escaped(text) + "</" + tag + ">"; }
std::string link(const std::string& to, const std::string& words) { return "<a href=\"" + to + "\">" + escaped(words) + "</a>"; }

std::string simulated_note(bool simulated) { return simulated ? "<p class=\"caution\">" + tagged("strong", say("page.simulated_sentence")) + "</p>\n" : ""; }

std::string case_words(std::size_t number) { return say("set.case", {{"number", std::to_string(number)}}); }

std::string slide_links(const std::string& folder, const char* name, std::size_t slides) {
    std::string out;
    for (std::size_t k = 1; k <= slides; ++k) out += (k == 1 ? "" : " ") + link(folder + name + std::to_string(k) + ".png", std::to_string(k));
    return out;
}

/// What is imaged, in words.
std::string imaged(const QuestionRecord& question) {
    std::set<int> series;
    std::set<std::string> dates;
    for (const QuestionPicture& p : question.pictures) series.insert(p.series), dates.insert(p.date);
    return say("set.imaged", {{"series", std::to_string(series.size())}, {"dates", std::to_string(dates.size())}, {"pictures", std::to_string(question.pictures.size())}});
}

std::string level_words(const SetCase& one) {
    std::string out = tagged("strong", one.level.level == Level::introductory ? say("set.level_introductory") : one.level.level == Level::intermediate ? say("set.level_intermediate") : say("set.level_advanced"));
    if (one.level_by_teacher) return out + "<br>" + escaped(say("set.level_by_teacher"));
    out += "<ul>";
    for (const std::string& why : one.level.why) out += tagged("li", why);
    return out + "</ul>";
}

std::string findings(const AnswerRecord& answer) {
    std::string out = "<ul>";
    for (const StatedEye& eye : answer.eyes) {
        out += tagged("li", eye.words.headline);
        for (const report::ElementFinding& element : eye.words.elements) out += tagged("li", element.title + (element.sentences.empty() ? "" : ". " + element.sentences.front()));
    }
    return out + "</ul>";
}

}  // namespace

std::string case_folder(std::size_t number) { return "case-" + std::to_string(number) + "/"; }

std::string student_index(const std::vector<QuestionRecord>& cases, const std::vector<std::size_t>& slides) {
    std::string body = simulated_note(std::any_of(cases.begin(), cases.end(), [](const QuestionRecord& c) { return c.simulated; }));
    body += "<p>" + escaped(say("set.student_intro")) + " " + link("sheet.pdf", say("set.student_sheet")) + "</p>\n<div class=\"cases\">\n";
    for (std::size_t k = 0; k < cases.size(); ++k) {
        const std::string folder = case_folder(k + 1);
        body += "<div class=\"case\">" + tagged("h2", case_words(k + 1)) + "\n<a href=\"" + folder + "question.html\"><img src=\"" + folder + question_picture_path(1) + "\" alt=\"" +
                escaped(case_words(k + 1)) + "\"></a>\n" + tagged("p", imaged(cases[k])) + "\n<p>" + link(folder + "question.html", say("set.question_page")) + "<br>" +
                link(folder + "sheet.pdf", say("set.sheet")) + "<br>" + escaped(say("set.slides")) + " " + slide_links(folder, "slide-", slides[k]) + "</p></div>\n";
    }
    return page(say("set.student_title"), body + "</div>\n");
}

std::string teacher_index(const std::vector<SetCase>& cases) {
    std::string body = simulated_note(std::any_of(cases.begin(), cases.end(), [](const SetCase& c) { return c.answer.simulated; }));
    body += "<p class=\"caution\">" + tagged("strong", say("set.teacher_keep")) + "</p>\n<p>" + link("../student/index.html", say("set.teacher_student")) + "<br>" +
            link("../student/sheet.pdf", say("set.student_sheet")) + "<br>" + link("key.pdf", say("set.teacher_key")) + "</p>\n";
    body += "<h2>" + escaped(say("set.teacher_cases")) + "</h2>\n<table><thead><tr>" + tagged("th", say("set.case_column")) + tagged("th", say("set.teacher_level")) +
            tagged("th", say("solution.findings")) + tagged("th", say("set.teacher_question")) + tagged("th", say("set.teacher_answer")) + "</tr></thead>\n<tbody>\n";
    for (std::size_t k = 0; k < cases.size(); ++k) {
        const std::string own = case_folder(k + 1), shown = "../student/" + own;
        body += "<tr><th>" + escaped(case_words(k + 1)) + "</th><td>" + level_words(cases[k]) + "</td><td>" + findings(cases[k].answer) + "</td><td>" +
                link(shown + "question.html", say("set.question_page")) + "<br>" + link(shown + "sheet.pdf", say("set.sheet")) + "<br>" + escaped(say("set.slides")) + " " +
                slide_links(shown, "slide-", cases[k].slides) + "</td><td>" + link(own + "answer.html", say("set.teacher_answer_page")) + "<br>" +
                link(own + "key.pdf", say("set.teacher_key_sheet")) + "<br>" + escaped(say("set.slides")) + " " + slide_links(own, "answer-slide-", cases[k].answer_slides) + "</td></tr>\n";
    }
    body += "</tbody></table>\n<p class=\"note\">" + escaped(say("set.teacher_levels")) + "</p>\n<h2>" + escaped(say("set.plate_title")) + "</h2>\n<a href=\"plate.png\"><img class=\"plate\" src=\"plate.png\" alt=\"" +
            escaped(say("set.plate_alt")) + "\"></a>\n";
    return page(say("set.teacher_title"), body);
}

}  // namespace perisclera::teaching
