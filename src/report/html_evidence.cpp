// SPDX-License-Identifier: Apache-2.0
// The evidence table: per series what was measured, what each material should show, and what that speaks for.
#include "perisclera/core/text.h"
#include "perisclera/material/material_opinion.h"
#include "perisclera/report/eye_words.h"
#include "perisclera/report/material_shares.h"
#include "perisclera/report/probability_words.h"
#include "perisclera/report/wording.h"
#include "src/report/explanation.h"
#include "src/report/html_sections.h"
#include "src/report/reading_wording.h"
#include "src/report/word_list.h"

namespace perisclera::report {

namespace {

std::string verdict(const Evidence& e) {
    const Speaks says = speaks(e);
    if (says.in_favour.empty()) return say("evidence.not_weighed");
    if (!says.separates) return say("evidence.does_not_separate");
    return says.against.empty() ? say("evidence.for", {{"materials", in_words(says.in_favour)}})
                                : say("evidence.for_and_against", {{"materials", in_words(says.in_favour)}, {"others", in_words(says.against)}});
}

/// What each reading would give, were the element hydrogel; empty where nothing is told.
std::string water_by_reading(const MaterialEntry& material, const SeriesLabels& labels) {
    std::vector<std::string> readings;
    for (const WaterOfReading& w : material.water_by_reading) {
        const auto at = labels.find(w.series_uid);
        readings.push_back(say("evidence.water_of_reading", {{"quantity", w.quantity}, {"series", at == labels.end() ? say("page.series_not_listed") : at->second}, {"water", in_words(w.water_fraction)}}));
    }
    return readings.empty() ? "" : element("p", say("evidence.water_by_reading", {{"readings", joined(readings, "; ")}}));
}

std::string quantity_cell(const Evidence& e) {
    const auto* measured = e.measured.measured();
    if (!measured) return "<td class=\"why\">" + escaped(in_words(e.measured)) + "</td>";
    const int decimals = decimals_of_unit(e.unit);
    const auto text = [&](StatedQuantity q) { return fixed(q.value(), decimals); };
    return "<td>" + escaped(text(measured->value()) + " " + e.unit) + "<span class=\"ci\">" + escaped(say("table.range", {{"low", text(measured->low())}, {"high", text(measured->high())}})) + "</span></td>";
}

std::string expected_cell(const Evidence& e, Material m) {
    if (!e.expected[m]) return "<td>" + escaped(say("evidence.no_expectation")) + "</td>";
    const int decimals = decimals_of_unit(e.unit);
    return "<td>" + escaped(say("table.range", {{"low", fixed(e.expected[m]->first, decimals)}, {"high", fixed(e.expected[m]->second, decimals)}})) + "</td>";
}

std::string table(const ElementEntry& element_entry, const SeriesLabels& labels) {
    std::string out = "<div class=\"scroll\"><table><thead><tr>" + head_cells({say("table.series"), say("evidence.quantity")}) + "<th>" + escaped(say("evidence.measured")) + "<span class=\"ci\">" +
                      escaped(say("evidence.interval")) + "</span></th>";
    for (const Material m : all_materials) out += head_cells({say("evidence.expected", {{"material", in_words(m)}})});
    out += head_cells({say("evidence.speaks")}) + "</tr></thead><tbody>\n";
    for (const Evidence& e : element_entry.material.evidence) {
        const auto at = labels.find(e.series_uid);
        out += "<tr><th scope=\"row\">" + escaped((at == labels.end() ? "" : at->second + ", ") + in_words(e.role, modality_of(e))) + "</th>" + element("td", e.quantity) +
               quantity_cell(e);
        for (const Material m : all_materials) out += expected_cell(e, m);
        out += element("td", verdict(e)) + "</tr>\n";
    }
    return out + "</tbody></table></div>\n";
}

std::string prior_in_words(const ReportModel& model) {
    const auto set = set_material_shares(model);
    return say(set ? "evidence.set_before" : "evidence.assumed_before", {{"shares", shares_in_words(set.value_or(PerMaterial<double>{prior_share}))}, {"margin", percent_in_words(label_margin)}});
}

}  // namespace

std::string evidence_section(const ReportModel& model, const SeriesLabels& labels) {
    std::string tables;
    for (const Eye eye : both_eyes) {
        const Timepoint* visit = current_visit(model, eye);
        if (!visit) continue;
        for (const ElementEntry& e : visit->eye(eye).elements) {
            tables += element("h3", e.id + ", " + in_words(eye) + ", " + visit->study_date.iso() + ": " + label_in_words(e.material));
            tables += e.material.evidence.empty() ? element("p", say("evidence.none")) : table(e, labels);
            tables += element("p", say("evidence.together", {{"probabilities", probabilities_in_words(e.material.probabilities)}})) + water_by_reading(e.material, labels) + element("p", explanation(model, *visit, eye, e));
        }
    }
    if (tables.empty()) return "";
    return "<section>" + element("h2", say("evidence.heading")) + tables + "<p class=\"note\">" + escaped(say("evidence.how_a_reading_speaks") + " " + prior_in_words(model)) + "</p></section>\n";
}

}  // namespace perisclera::report
