// SPDX-License-Identifier: Apache-2.0
// The page's sections that give it a report's order: the answer first, then context, technique and comparison; limits and impression after the findings.
#include "perisclera/core/text.h"
#include "src/report/html_sections.h"
#include "src/report/report_sentences.h"

namespace perisclera::report {

std::string answer_section(const ReportModel& model) {
    std::string out = "<section>" + element("h2", say("page.answer"));
    for (const std::string& sentence : answer(model)) out += element("p", sentence);
    return out + "</section>\n";
}

std::string examination_section(const ReportModel& model, const SeriesLabels& labels) {
    const auto paragraph = [](const std::string& topic, const std::string& sentence) { return "<p><strong>" + escaped(topic) + "</strong> " + escaped(sentence) + "</p>"; };
    std::string out = "<section>" + element("h2", say("page.examination")) + paragraph(say("page.clinical_context"), clinical_context(model)) + "\n";
    for (const std::string& sentence : technique(model, labels)) out += paragraph(say("page.technique"), sentence) + "\n";
    return out + paragraph(say("page.comparison"), comparison(model)) + "</section>\n";
}

std::string limits_section(const ReportModel& model) {
    std::string out = "<section>" + element("h2", say("page.limits")) + "<ul>\n";
    for (const std::string& item : limits(model)) out += element("li", item);
    out += "</ul>\n";
    if (!model.warnings.empty()) {
        out += element("h3", say("page.warnings")) + "<ul>\n";
        for (const Error& w : model.warnings)
            out += element("li", std::string(name(w.code)) + ": " + w.what + (w.where.empty() ? "" : " (" + w.where + ")") + (w.hint.empty() ? "" : ": " + w.hint));
        out += "</ul>\n";
    }
    return out + "</section>\n";
}

std::string impression_section(const ReportModel& model) {
    std::string out = "<section>" + element("h2", say("page.impression"));
    for (const std::string& sentence : answer(model)) out += element("p", sentence);
    return out + element("p", impression_note()) + "</section>\n";
}

}  // namespace perisclera::report
