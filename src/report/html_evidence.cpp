// SPDX-License-Identifier: Apache-2.0
// The evidence table: per series what was measured, what each material should show, and what that speaks for.
#include <algorithm>
#include <cmath>

#include "perisclera/material/material_opinion.h"
#include "perisclera/report/probability_words.h"
#include "perisclera/report/wording.h"
#include "src/report/html_sections.h"

namespace perisclera::report {

namespace {

// A reading speaks for a material whose likelihood is within a factor of 3 of the best, against one a hundred times less
// likely: common conventions for weak and for decisive likelihood ratios, no source needed as the numbers stand beside.
constexpr double close_factor = 3.0, decisive_factor = 100.0;

std::string verdict(const Evidence& e) {
    double best = -HUGE_VAL;
    for (const Material m : all_materials) best = std::max(best, e.log_likelihood[m].value_or(-HUGE_VAL));
    std::string in_favour, against;
    bool all_close = true;
    for (const Material m : all_materials) {
        if (!e.log_likelihood[m]) continue;
        const double behind = best - *e.log_likelihood[m];
        const auto add = [&](std::string& list) { list += (list.empty() ? "" : ", ") + std::string(in_words(m)); };
        if (behind <= std::log(close_factor)) {
            add(in_favour);
        } else {
            all_close = false;
            if (behind >= std::log(decisive_factor)) add(against);
        }
    }
    if (in_favour.empty()) return "not weighed";
    if (all_close) return "does not separate the materials";
    return "for " + in_favour + (against.empty() ? "" : "; against " + against);
}

std::string quantity_cell(const Evidence& e) {
    const auto* measured = e.measured.measured();
    if (!measured) return "<td class=\"why\">" + escaped("not measured: " + e.measured.unmeasured()->why) + "</td>";
    const int decimals = e.unit == "HU" ? 0 : 2;
    const auto text = [&](StatedQuantity q) { return fixed(q.value(), decimals); };
    return "<td>" + escaped(text(measured->value()) + " " + e.unit) + "<span class=\"ci\">" + text(measured->low()) + " to " + text(measured->high()) + "</span></td>";
}

std::string expected_cell(const Evidence& e, Material m) {
    if (!e.expected[m]) return "<td>no expectation</td>";
    const int decimals = e.unit == "HU" ? 0 : 2;
    return "<td>" + fixed(e.expected[m]->first, decimals) + " to " + fixed(e.expected[m]->second, decimals) + "</td>";
}

std::string table(const ElementEntry& element_entry, const SeriesLabels& labels) {
    std::string out = "<div class=\"scroll\"><table><thead><tr><th>Series</th><th>Quantity</th><th>Measured<span class=\"ci\">95 % interval</span></th>";
    for (const Material m : all_materials) out += "<th>Expected: " + std::string(in_words(m)) + "</th>";
    out += "<th>Speaks</th></tr></thead><tbody>\n";
    for (const Evidence& e : element_entry.material.evidence) {
        const auto at = labels.find(e.series_uid);
        const Modality modality = e.role == SeriesRole::ct_soft || e.role == SeriesRole::ct_bone ? Modality::ct : Modality::mr;
        out += "<tr><th scope=\"row\">" + escaped((at == labels.end() ? "" : at->second + ", ") + in_words(e.role, modality)) + "</th>" + element("td", e.quantity) +
               quantity_cell(e);
        for (const Material m : all_materials) out += expected_cell(e, m);
        out += element("td", verdict(e)) + "</tr>\n";
    }
    return out + "</tbody></table></div>\n";
}

std::string prior_in_words() {
    std::string text = "Assumed before any image is read:";
    for (const Material m : all_materials) text += (m == all_materials.front() ? " " : ", ") + std::string(in_words(m)) + " " + percent_in_words(prior_share[static_cast<std::size_t>(m)]);
    return text + "; a material is named from a probability of " + percent_in_words(label_margin) + " on.";
}

}  // namespace

std::string evidence_section(const ReportModel& model, const SeriesLabels& labels) {
    std::string tables;
    for (const Eye eye : both_eyes) {
        const Timepoint* visit = current_visit(model, eye);
        if (!visit) continue;
        for (const ElementEntry& e : visit->eye(eye).elements) {
            std::string probabilities;
            for (const Material m : all_materials) {
                probabilities += (probabilities.empty() ? "" : ", ") + std::string(in_words(m)) + " " + probability_in_words(e.material.probabilities[m]);
            }
            tables += element("h3", e.id + ", " + std::string(name(eye)) + " eye, " + visit->study_date.iso() + ": " + label_in_words(e.material));
            tables += e.material.evidence.empty() ? element("p", "No series gave evidence on the material.") : table(e, labels);
            tables += element("p", "All evidence together: " + probabilities + ".");
        }
    }
    if (tables.empty()) return "";
    return "<section><h2>Evidence on the material</h2>\n" + tables +
           "<p class=\"note\">A reading speaks for a material whose likelihood is within a factor of 3 of the best, against one at least 100 times less likely; between, "
           "neither. " +
           prior_in_words() + "</p></section>\n";
}

}  // namespace perisclera::report
