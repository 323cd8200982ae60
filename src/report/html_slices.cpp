// SPDX-License-Identifier: Apache-2.0
// The slices of each series round each eye, for leafing through: their pixels as one picture for each series, their outlines and words as data for the script.
#include <algorithm>

#include <nlohmann/json.hpp>

#include "perisclera/core/text.h"
#include "perisclera/report/eye_words.h"
#include "perisclera/report/wording.h"
#include "src/report/html_sections.h"
#include "src/report/slice_sheet.h"
#include "src/report/svg.h"

namespace perisclera::report {

namespace {

using nlohmann::json;

/// One decimal of a pixel is as fine as the screen.
std::string path_of(const Outline& outline) {
    std::string d;
    const auto tenth = [](double v) { return svg::number(std::round(v * 10.0) / 10.0); };
    for (const PixelPoint& p : outline.points) d += (d.empty() ? "M" : "L") + tenth(p.x) + " " + tenth(p.y);
    return d + (outline.closed ? "Z" : "");
}

json slice_data(const ScrollSlice& slice, const std::string& label, std::size_t number, std::size_t count) {
    json outlines = json::array();
    std::vector<std::string> ids;
    for (const Outline& o : slice.outlines) {
        if (std::find(ids.begin(), ids.end(), o.element_id) == ids.end()) ids.push_back(o.element_id);
        const PixelPoint beside = *std::max_element(o.points.begin(), o.points.end(), [](PixelPoint a, PixelPoint b) { return a.x < b.x; });
        outlines.push_back({o.element_id, path_of(o), {std::round(beside.x), std::round(beside.y)}});
    }
    std::string shown;
    for (const std::string& id : ids) shown += (shown.empty() ? "" : ", ") + id;
    const std::string n = std::to_string(number), of = std::to_string(count);
    const std::string words = shown.empty() ? say("slices.where", {{"series", label}, {"number", n}, {"count", of}, {"place", slice.place}})
                                            : say("slices.where_shows", {{"series", label}, {"number", n}, {"count", of}, {"place", slice.place}, {"elements", shown}});
    return {{"words", words}, {"offset", std::round(slice.offset_mm * 100.0) / 100.0}, {"outlines", outlines}};
}

/// Of the slices that show much of an element the one nearest to the globe's centre; without any the one through it.
std::size_t first_shown(const ScrollStack& stack) {
    std::vector<std::size_t> length;
    for (const ScrollSlice& s : stack.slices) {
        length.push_back(0);
        for (const Outline& o : s.outlines) length.back() += o.points.size();
    }
    const std::size_t much = *std::max_element(length.begin(), length.end()) * 6 / 10;
    std::size_t best = stack.slices.size();
    for (std::size_t k = 0; k < stack.slices.size(); ++k)
        if (length[k] >= much && (best == stack.slices.size() || std::abs(stack.slices[k].offset_mm) < std::abs(stack.slices[best].offset_mm))) best = k;
    return best;
}

std::string note_of(const ScrollStack& stack, bool hounsfield) {
    const int decimals = stack.window_high - stack.window_low < 10.0f ? 2 : 0;
    const std::string black = fixed(static_cast<double>(stack.window_low), decimals), white = fixed(static_cast<double>(stack.window_high), decimals), step = fixed(stack.step_mm, 1);
    std::string note = say(hounsfield ? "slices.window_hounsfield" : "slices.window", {{"black", black}, {"white", white}});
    note += " " + (stack.every > 1 ? say("slices.apart_some", {{"step", step}, {"every", std::to_string(stack.every)}}) : say("slices.apart", {{"step", step}}));
    return note + (stack.brought_over ? " " + say("slices.brought_over") : "");
}

/// What the script needs of one stack, and its label.
json stack_data(const ReportModel& model, const ScrollStack& stack, const SeriesLabels& labels) {
    std::string label;
    bool hounsfield = false;
    for (const Timepoint& t : model.timepoints)
        for (const SeriesEntry& s : t.series)
            if (t.id == stack.timepoint_id && s.series_uid == stack.series_uid) {
                const auto at = labels.find(s.series_uid);
                label = (at == labels.end() ? "" : at->second + ", ") + in_words(s.role, s.modality) + ", " + stack.plane;
                hounsfield = s.modality == Modality::ct;
            }
    json slices = json::array();
    for (const ScrollSlice& s : stack.slices) slices.push_back(slice_data(s, label, slices.size() + 1, stack.slices.size()));
    const BorderLetters& at = stack.letters;
    constexpr int bar_mm = 10;
    return {{"label", label}, {"plane", stack.plane}, {"note", note_of(stack, hounsfield)}, {"width", stack.width}, {"height", stack.height}, {"across", stack.column_spacing.value()}, {"down", stack.row_spacing.value()},
            {"columns", sheet_columns(stack)}, {"letters", {at.left, at.right, at.top, at.bottom}}, {"borders", say("slices.borders", {{"left", at.left}, {"right", at.right}, {"top", at.top}, {"bottom", at.bottom}})},
            {"bar", {bar_mm, say("unit.millimetres", {{"number", std::to_string(bar_mm)}})}}, {"brought", stack.brought_over}, {"mark", model.simulated ? say("drawing.simulated") : ""}, {"start", first_shown(stack)}, {"slices", slices}};
}

std::string figure_of(const ReportModel& model, const Timepoint& visit, Eye eye, const std::vector<const DrawnStack*>& stacks, const SeriesLabels& labels) {
    json data = json::array();
    std::string choices, sheets;
    bool chosen = false;
    const std::string who = in_words(eye);
    for (const DrawnStack* drawn : stacks) {
        data.push_back(stack_data(model, *drawn->stack, labels));
        const std::string label = data.back()["label"];
        // A series on which something was measured comes before those it was brought to.
        const bool shows = std::any_of(drawn->stack->slices.begin(), drawn->stack->slices.end(), [](const ScrollSlice& s) { return !s.outlines.empty(); });
        const bool first = shows && !drawn->stack->brought_over && !chosen;
        chosen = chosen || first;
        choices += "<option value=\"" + std::to_string(data.size() - 1) + "\"" + (first ? " selected" : "") + ">" + escaped(label) + "</option>";
        sheets += "<img hidden src=\"" + data_uri(drawn->sheet_png) + "\" alt=\"" + escaped(say("slices.sheet", {{"eye", who}, {"series", label}})) + "\">\n";
    }
    return "<figure class=\"slices\" hidden>" + element("h3", say("slices.figure_heading", {{"eye", side_in_words(eye)}, {"date", visit.study_date.iso()}})) +
           "<div class=\"controls\"><label>" + escaped(say("table.series")) + " <select>" + choices + "</select></label> <label><input type=\"checkbox\" checked> " + escaped(say("slices.outlines")) + "</label></div>\n" +
           "<canvas tabindex=\"0\" role=\"img\" aria-label=\"" + escaped(say("slices.picture", {{"eye", who}})) + "\"></canvas>\n<input type=\"range\" min=\"0\" max=\"0\" value=\"0\" aria-label=\"" + escaped(say("slices.slider", {{"eye", who}})) +
           "\">\n<p class=\"where\" aria-live=\"polite\"></p><figcaption><span class=\"shown\"></span> <span class=\"controls\">" + escaped(say("slices.how")) + "</span></figcaption>\n" + sheets +
           data_script(data.dump()) + "</figure>\n";
}

}  // namespace

std::string slice_section(const ReportModel& model, const Figures& figures, const SeriesLabels& labels) {
    std::string out;
    // The eye with a finding comes first.
    for (const bool with_elements : {true, false})
        for (const Eye eye : both_eyes) {
            const Timepoint* visit = current_visit(model, eye);
            if (visit == nullptr || visit->eye(eye).elements.empty() == with_elements) continue;
            std::vector<const DrawnStack*> stacks;
            for (const DrawnStack& d : figures.stacks)
                if (d.stack->eye == eye && d.stack->timepoint_id == visit->id) stacks.push_back(&d);
            if (!stacks.empty()) out += figure_of(model, *visit, eye, stacks, labels);
        }
    if (out.empty()) return "";
    return "<section>" + element("h2", say("slices.heading")) + "<p class=\"note\">" + escaped(say(model.timepoints.size() > 1 ? "slices.note_newest_date" : "slices.note")) + "</p>\n<noscript><p>" +
           escaped(say("slices.without_scripts")) + "</p></noscript>\n" + out + "</section>\n";
}

}  // namespace perisclera::report
