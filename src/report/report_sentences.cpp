// SPDX-License-Identifier: Apache-2.0
#include "src/report/report_sentences.h"

#include "perisclera/core/text.h"
#include "perisclera/report/material_shares.h"
#include "perisclera/report/probability_words.h"
#include "perisclera/report/wording.h"
#include "src/report/term_words.h"
#include "src/report/word_list.h"

namespace perisclera::report {

namespace {

std::string element_in_brief(const ReportModel& model, const Timepoint& visit, const ElementEntry& e, Eye eye) {
    std::string words = say("answer.element", {{"element", e.id}, {"form", in_words(e.form)}, {"place", place_in_words(e, eye)}, {"material", label_with_probability(e.material)}, {"volume", in_words(e.volume)}});
    for (const Change& c : model.changes)
        if (c.eye == eye && c.element == e.id && c.to == visit.id) words = say("answer.element_with_change", {{"words", words}, {"verdict", verdict_in_words(c.verdict)}});
    return words;
}

std::string series_in_brief(const SeriesEntry& s, const SeriesLabels& labels) {
    const auto at = labels.find(s.series_uid);
    const std::string role = in_words(s.role, s.modality), series = at == labels.end() ? role : say("technique.series_with_label", {{"label", at->second}, {"series", role}});
    std::vector<std::string> details;
    if (s.kvp) details.push_back(say("technique.voltage", {{"kilovolts", fixed(*s.kvp, 0)}}));
    const auto side = [&](std::size_t k) { return fixed((*s.spacing)[k].value(), 2); };
    if (s.used && s.spacing) details.push_back(say("technique.voxel", {{"x", side(0)}, {"y", side(1)}, {"z", side(2)}}));
    return details.empty() ? series : say("technique.series_with_details", {{"series", series}, {"details", joined(details, ", ")}});
}

}  // namespace

std::array<std::string, 2> answer(const ReportModel& model) {
    std::array<std::string, 2> out;
    for (const Eye eye : both_eyes) {
        std::string& sentence = out[eye == Eye::right ? 0 : 1];
        const std::string headline = finding(model, eye).headline;
        sentence = say("answer.eye", {{"headline", headline}});
        const Timepoint* visit = current_visit(model, eye);
        if (visit == nullptr || was_left_out(model, eye)) continue;
        const EyeEntry& seen = visit->eye(eye);
        const std::string probability = probability_in_words(seen.explant.probability);
        std::vector<std::string> elements;
        for (const ElementEntry& e : seen.elements) elements.push_back(element_in_brief(model, *visit, e, eye));
        if (!elements.empty())
            sentence = say("answer.eye_with_elements", {{"headline", headline}, {"probability", probability}, {"elements", joined(elements, "; ")}});
        else if (seen.globe.status == GlobeStatus::found)
            sentence = say("answer.eye_without_element", {{"headline", headline}, {"probability", probability}});
    }
    return out;
}

std::string clinical_context(const ReportModel& model) {
    const auto option = [&](const std::string& name_of_it) {
        const auto at = std::find_if(model.options.begin(), model.options.end(), [&](const Option& o) { return o.name == name_of_it; });
        return at == model.options.end() ? nullptr : &at->value;
    };
    std::vector<std::string> told;
    for (const Eye eye : both_eyes) {
        const auto *year = option("surgery_year_" + std::string(name(eye))), *material = option("recorded_material_" + std::string(name(eye))), *section = option("recorded_section_" + std::string(name(eye)));
        if (section != nullptr) {
            const auto& sides = std::get<std::string>(*section);   // "5.50x3.30"
            const std::size_t by = sides.find('x');
            told.push_back(say("context.section_of_eye", {{"eye", in_words(eye)}, {"width", sides.substr(0, by)}, {"thickness", sides.substr(by + 1)}}));
        }
        if (year == nullptr && material == nullptr) continue;
        std::string noted = say("record.not_told");
        for (const Material m : all_materials)
            if (material != nullptr && std::get<std::string>(*material) == name(m)) noted = in_words(m);
        told.push_back(say("context.operation_of_eye", {{"eye", in_words(eye)}, {"year", year != nullptr ? std::to_string(std::get<std::int64_t>(*year)) : say("record.not_told")}, {"material", noted}}));
    }
    return (told.empty() ? say("context.operation_not_given") : say("context.operation_told", {{"told", joined(told, "; ")}})) + " " +
           say(model.examination ? "context.findings_given" : "context.no_findings") + (set_material_shares(model) ? " " + say("context.shares_set") : "");
}

std::vector<std::string> technique(const ReportModel& model, const SeriesLabels& labels) {
    std::vector<std::string> out;
    for (const Timepoint& t : model.timepoints) {
        std::vector<std::string> used, unused;
        for (const SeriesEntry& s : t.series) (s.used ? used : unused).push_back(series_in_brief(s, labels));
        const std::string date = t.study_date.iso(), those_used = used.empty() ? say("technique.nothing") : joined(used, "; ");
        out.push_back(unused.empty() ? say("technique.used", {{"date", date}, {"used", those_used}})
                                     : say("technique.used_and_not_used", {{"date", date}, {"used", those_used}, {"unused", joined(unused, "; ")}}));
    }
    return out;
}

std::string comparison(const ReportModel& model) {
    if (model.timepoints.size() < 2) return say("comparison.no_other_date");
    std::vector<std::string> earlier;
    for (std::size_t k = 0; k + 1 < model.timepoints.size(); ++k) earlier.push_back(model.timepoints[k].study_date.iso());
    return say("comparison.dates", {{"last", model.timepoints.back().study_date.iso()}, {"earlier", joined(earlier, ", ")}});
}

std::vector<std::string> limits(const ReportModel& model) {
    std::vector<std::string> out;
    for (const Eye eye : both_eyes) {
        const Timepoint* visit = current_visit(model, eye);
        if (visit == nullptr || visit->eye(eye).globe.status != GlobeStatus::found) continue;
        const EyeEntry& seen = visit->eye(eye);
        const bool none_seen = seen.elements.empty();
        out.push_back(say(none_seen ? "limits.of_eye" : "limits.of_eye_beside_reported", {{"side", side_in_words(eye)}, {"limit", detection_limit(seen.explant, none_seen)}}));
    }
    for (const std::string_view always : {"limits.not_found_not_absent", "limits.sclera_retina_choroid", "limits.thickness_and_indentation", "limits.clock_hours", "limits.arcs", "limits.axial_length",
                                          "limits.interval"})
        out.push_back(say(always));
    out.push_back(probability_scale_in_words());
    return out;
}

std::string impression_note() { return say("caution.impression"); }

}  // namespace perisclera::report
