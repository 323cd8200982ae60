// SPDX-License-Identifier: Apache-2.0
#include "perisclera/teaching/pages.h"

#include <algorithm>

#include "neutral_images.h"
#include "page_frame.h"
#include "perisclera/core/text.h"
#include "perisclera/ingest/dicom_values.h"
#include "perisclera/report/eye_words.h"
#include "perisclera/report/figures.h"
#include "perisclera/report/html.h"
#include "perisclera/report/wording.h"
#include "perisclera/teaching/answer_record.h"
#include "perisclera/teaching/question_record.h"

namespace perisclera::teaching {

namespace {

using report::escaped;
using report::OutputFile;

std::string element(const char* tag, const std::string& text) { return "<" + std::string(tag) + ">" + escaped(text) + "</" + tag + ">\n"; }

std::string simulated_note(const report::ReportModel& model) {
    return model.simulated ? "<p class=\"caution\"><strong>" + escaped(say("page.simulated_sentence")) + "</strong></p>\n" : "";
}

}  // namespace

bool tells_who(const std::string& history, const PatientText& name, const PatientText& id) {
    const std::string text = upper_case(history);
    const auto holds = [&](const std::string& part) { return part.size() >= 3 && text.find(part) != std::string::npos; };
    // Not for showing, but for keeping it from being shown.
    if (holds(upper_case(id.reveal_for_page_header()))) return true;
    std::string part;
    for (const char c : upper_case(name.reveal_for_page_header()) + " ") {
        const bool ends = c == '^' || c == '=' || c == ' ' || c == ',' || c == '-';
        if (ends && holds(part)) return true;
        part = ends ? "" : part + c;
    }
    return false;
}

Result<std::vector<OutputFile>> question_files(const report::ReportModel& model, const PatientStudies& patient, const std::string& history, std::uint64_t seed) {
    std::vector<OutputFile> files;
    const std::vector<report::KeyImage> shown = neutral_images(model, patient);
    std::string body = simulated_note(model);
    if (!history.empty()) body += element("h2", say("question.history")) + "<p class=\"history\">" + escaped(history) + "</p>\n";
    std::string visit, images;
    for (const report::KeyImage& image : shown) {
        auto png = report::render_png(model, image, false);
        if (!png) return png.error();
        const std::string path = question_picture_path(files.size() + 1);
        files.push_back({"question/" + path, std::move(png).value()});
        const std::string words = report::in_words(image.eye) + ", " + image.plane;
        if (image.timepoint_id != visit) {
            const auto at = std::find_if(model.timepoints.begin(), model.timepoints.end(), [&](const report::Timepoint& t) { return t.id == image.timepoint_id; });
            images += (visit.empty() ? "" : "</div>\n") + element("h2", say("question.images_of", {{"date", at->study_date.iso()}})) + "<div class=\"images\">\n";
            visit = image.timepoint_id;
        }
        images += "<figure><img src=\"" + path + "\" alt=\"" + escaped(words) + "\"></figure>\n";
    }
    body += images + (visit.empty() ? "" : "</div>\n");
    body += "<p class=\"note\">" + escaped(say("question.dates_moved")) + "</p>\n" + element("h2", say("question.questions"));
    for (const Question& q : questions(seed)) {
        body += "<h3>" + escaped(q.id + ". " + q.text) + "</h3>\n<ol class=\"choices\">\n";
        for (const Choice& c : q.choices) body += element("li", c.text);
        body += "</ol>\n";
    }
    files.push_back({"question/question.html", page(say("question.title"), body)});
    files.push_back({"question/question.json", to_json(question_record(model, shown, history, seed))});
    return files;
}

Result<std::vector<OutputFile>> answer_files(const report::ReportModel& model, const std::string& pseudonym, std::uint64_t seed) {
    auto rendered = report::render_report(model, {PatientText(pseudonym), PatientText(pseudonym)});
    if (!rendered) return rendered.error();
    std::vector<OutputFile> files;
    for (OutputFile& file : rendered.value()) files.push_back({"answer/" + file.path, std::move(file.bytes)});

    const std::vector<Question> asked = questions(seed);
    const std::vector<AnswerKey> keys = answer_keys(asked, model);
    std::string body = simulated_note(model) + "<p>" + escaped(say("solution.rest")) + " <a href=\"report.html\">report.html</a>, <a href=\"report.pdf\">report.pdf</a>.</p>\n" + element("h2", say("solution.key"));
    for (std::size_t q = 0; q < asked.size(); ++q) {
        body += "<h3>" + escaped(asked[q].id + ". " + asked[q].text) + "</h3>\n<ol class=\"choices\">\n";
        for (std::size_t c = 0; c < asked[q].choices.size(); ++c) {
            const bool right = std::find(keys[q].right.begin(), keys[q].right.end(), c) != keys[q].right.end();
            body += std::string(right ? "<li class=\"right\">" : "<li>") + escaped(right ? say("solution.right", {{"choice", asked[q].choices[c].text}}) : asked[q].choices[c].text) + "<br><span class=\"note\">" +
                    escaped(asked[q].choices[c].lookalike) + "</span></li>\n";
        }
        body += "</ol>\n" + element("p", say("solution.why", {{"why", keys[q].why}}));
    }
    body += element("h2", say("solution.findings"));
    for (const Eye eye : both_eyes) {
        const report::EyeFinding found = report::finding(model, eye);
        body += element("h3", found.headline);
        for (const report::ElementFinding& e : found.elements) {
            body += element("h4", e.title);
            for (const std::string& sentence : e.sentences) body += element("p", sentence);
        }
    }
    if (!model.considerations.empty()) {
        body += element("h2", say("solution.points")) + "<ul>\n";
        for (const report::Consideration& c : model.considerations) body += element("li", c.text + " (" + c.source + ")");
        body += "</ul>\n";
    }
    files.push_back({"answer/answer.html", page(say("solution.title"), body)});
    files.push_back({"answer/answer.json", to_json(answer_record(model, asked))});
    return files;
}

}  // namespace perisclera::teaching
