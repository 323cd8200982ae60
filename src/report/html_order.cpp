// SPDX-License-Identifier: Apache-2.0
// The page's sections that give it a report's order: the answer first, then context, technique and comparison; limits and impression after the findings.
#include "src/report/html_sections.h"
#include "src/report/report_sentences.h"

namespace perisclera::report {

std::string answer_section(const ReportModel& model) {
    std::string out = "<section><h2>Answer</h2>\n";
    for (const std::string& sentence : answer(model)) out += element("p", sentence);
    return out + "</section>\n";
}

std::string examination_section(const ReportModel& model, const SeriesLabels& labels) {
    std::string out = "<section><h2>Context, technique, comparison</h2>\n<p><strong>Clinical context.</strong> " + escaped(clinical_context(model)) + "</p>\n";
    for (const std::string& sentence : technique(model, labels)) out += "<p><strong>Technique.</strong> " + escaped(sentence) + "</p>\n";
    return out + "<p><strong>Comparison.</strong> " + escaped(comparison(model)) + "</p></section>\n";
}

std::string limits_section(const ReportModel& model) {
    std::string out = "<section><h2>Limits, and how to read this report</h2>\n<ul>\n";
    for (const std::string& item : limits(model)) out += element("li", item);
    out += "</ul>\n";
    if (!model.warnings.empty()) {
        out += "<h3>Warnings of this run</h3>\n<ul>\n";
        for (const Error& w : model.warnings)
            out += element("li", std::string(name(w.code)) + ": " + w.what + (w.where.empty() ? "" : " (" + w.where + ")") + (w.hint.empty() ? "" : ": " + w.hint));
        out += "</ul>\n";
    }
    return out + "</section>\n";
}

std::string impression_section(const ReportModel& model) {
    std::string out = "<section><h2>Impression</h2>\n";
    for (const std::string& sentence : answer(model)) out += element("p", sentence);
    return out + element("p", impression_note()) + "</section>\n";
}

}  // namespace perisclera::report
