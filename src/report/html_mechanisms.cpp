// SPDX-License-Identifier: Apache-2.0
// Mechanisms to separate, on the page: per element a table of mechanism, test, what this scan says, and how the findings speak.
#include "perisclera/core/text.h"
#include "perisclera/report/eye_words.h"
#include "perisclera/report/mechanisms.h"
#include "perisclera/report/wording.h"
#include "src/report/html_sections.h"
#include "src/report/mechanism_wording.h"

namespace perisclera::report {

namespace {

std::string origin(const MechanismWords& words) { return words.basis == Basis::published ? say("page.published", {{"source", words.source}}) : std::string(words.source); }

std::string table(const ElementMechanisms& one, bool with_findings) {
    std::string out = "<div class=\"scroll\"><table class=\"mechanisms\">" + element("caption", one.element + ", " + in_words(one.eye)) + "<thead><tr>" +
                      head_cells({say("mechanisms.mechanism"), say("mechanisms.what_tells_it"), say("mechanisms.on_these_images")}) + (with_findings ? head_cells({say("mechanisms.with_findings")}) : "") +
                      head_cells({say("mechanisms.basis")}) + "</tr></thead><tbody>\n";
    for (const MechanismEntry& entry : one.entries) {
        const MechanismWords words = words_of(entry.mechanism);
        out += "<tr>" + element("td", words.what) + element("td", words.test) + element("td", entry.on_this_scan);
        if (with_findings) out += "<td><strong>" + escaped(fit_in_words(*entry.fit)) + "</strong> " + escaped(entry.why) + "</td>";
        out += "<td class=\"note\">" + escaped(origin(words)) + "</td></tr>\n";
    }
    return out + "</tbody></table></div>\n";
}

}  // namespace

std::string mechanism_section(const ReportModel& model) {
    const MechanismsToSeparate all = mechanisms(model);
    if (all.elements.empty() && !model.examination) return "";
    std::string out = "<section>" + element("h2", say("mechanisms.heading")) + element("p", position_foretells_nothing()) + element("p", findings_in_words(model));
    for (const ElementMechanisms& one : all.elements) out += table(one, model.examination.has_value());
    if (!all.unexplained.empty()) {
        out += element("h3", say("mechanisms.unexplained")) + "<ul>\n";
        for (const std::string& words : all.unexplained) out += element("li", words);
        out += "</ul>\n";
    }
    return out + "</section>\n";
}

}  // namespace perisclera::report
