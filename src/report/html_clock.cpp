// SPDX-License-Identifier: Apache-2.0
// The round map of each eye with an element, its twin as a surgeon sees it, and beneath them what the picked clock hour shows. Without scripts the hour of the
// largest section stays.
#include <algorithm>

#include "perisclera/core/text.h"
#include "perisclera/report/eye_words.h"
#include "perisclera/report/wording.h"
#include "src/report/clock_map.h"
#include "src/report/html_sections.h"

namespace perisclera::report {

namespace {

const EyeShape* find_shape(const ReportModel& model, const Timepoint& visit, Eye eye) {
    for (const EyeShape& s : model.eye_shapes)
        if (s.eye == eye && s.timepoint_id == visit.id) return &s;
    return nullptr;
}

/// The half hour nearest to the largest section of the first element.
ClockPosition first_hour(const EyeEntry& entry) {
    for (const ElementEntry& e : entry.elements) {
        const Section* nearest = e.largest_section.clock_hour ? nearest_section(e, *e.largest_section.clock_hour) : e.sections.empty() ? nullptr : &e.sections.front();
        if (nearest != nullptr && nearest->clock_hour) return ClockPosition(std::round(nearest->clock_hour->hours() * 2.0) / 2.0);
        if (e.largest_section.clock_hour) return ClockPosition(std::round(e.largest_section.clock_hour->hours() * 2.0) / 2.0);
    }
    return ClockPosition(0.0);
}

std::string words_at(const ElementEntry& e, ClockPosition hour, Eye eye, bool reaches) {
    if (const Section* s = section_at(e, hour)) return say("clock.section", {{"element", e.id}, {"width", in_words(s->width)}, {"thickness", in_words(s->thickness)}, {"area", in_words(s->area)}});
    const Section* nearest = nearest_section(e, hour);
    return say(reaches ? "clock.reaches_unmeasured" : "clock.no_section_here", {{"element", e.id}}) + " " +
           (nearest != nullptr ? say("clock.nearest_section", {{"hour", hour_in_words(*nearest->clock_hour)}, {"quadrant", quadrant_in_words(*nearest->clock_hour, eye)}}) : say("clock.no_section_measured"));
}

std::string hour_panel(const EyeEntry& entry, const EyeShape* shape, Eye eye, ClockPosition hour, bool shown) {
    const SectionShape* section = nullptr;
    if (shape != nullptr)
        for (const SectionShape& s : shape->sections)
            if (s.hour.distance_to(hour) < ClockHours(0.01)) section = &s;
    std::string out = "<div class=\"hour\" data-hour=\"" + fixed(hour.hours(), 1) + "\"" + (shown ? "" : " hidden") + "><div>" +
                      element("h4", say("clock.section_there", {{"hour", hour_in_words(hour)}, {"quadrant", quadrant_in_words(hour, eye)}}));
    for (const ElementEntry& e : entry.elements) {
        const bool reaches = section != nullptr && std::any_of(section->cuts.begin(), section->cuts.end(), [&](const auto& cut) { return cut.element_id == e.id; });
        out += element("p", words_at(e, hour, eye, reaches));
    }
    if (section == nullptr) out += "<p>" + escaped(say("clock.no_drawing")) + "</p>";
    return out + "</div>" + (section != nullptr ? section_drawing(entry, *shape, *section, eye) : "") + "</div>\n";
}

std::string map_of(const ReportModel& model, const Timepoint& visit, Eye eye) {
    const EyeEntry& entry = visit.eye(eye);
    const EyeShape* shape = find_shape(model, visit, eye);
    const std::vector<std::string> missing = not_drawn(entry, shape);
    if (missing.size() == entry.elements.size()) return "";
    const ClockPosition start = first_hour(entry);
    const bool footprints = std::any_of(entry.elements.begin(), entry.elements.end(), [&](const ElementEntry& e) { return shape_of(shape, e.id) != nullptr; });
    std::string out = "<figure class=\"clock\" data-hour=\"" + fixed(start.hours(), 1) + "\">" + element("h3", say("clock.heading", {{"eye", side_in_words(eye)}, {"date", visit.study_date.iso()}})) +
                      "<div class=\"twins\">";
    for (const Viewer viewer : {Viewer::examiner, Viewer::surgeon})
        out += "<div>" + element("p", say(viewer == Viewer::examiner ? "clock.examiner" : "clock.surgeon")) + clock_map(entry, shape, eye, viewer, start) + "</div>";
    out += "</div>\n<p class=\"how\" hidden>" + escaped(say("clock.how")) + "</p>\n<div class=\"hours\" aria-live=\"polite\">\n";
    for (int half = 0; half < 24; ++half) {
        const ClockPosition hour(0.5 * half);
        out += hour_panel(entry, shape, eye, hour, hour.distance_to(start) < ClockHours(0.01));
    }
    std::string left_out;
    for (const std::string& id : missing) left_out += " " + say("clock.not_drawn", {{"element", id}});
    return out + "</div><figcaption>" +
           escaped(say("clock.caption_rings") + " " + say(footprints ? "clock.caption_covered" : "clock.caption_edges") + " " + say("clock.caption_muscles") + " " + say("clock.caption_section") + left_out) +
           "</figcaption></figure>\n";
}

}  // namespace

std::string clock_maps(const ReportModel& model) {
    std::string out;
    for (const Eye eye : both_eyes) {
        const Timepoint* visit = current_visit(model, eye);
        if (visit != nullptr && !visit->eye(eye).elements.empty()) out += map_of(model, *visit, eye);
    }
    return out;
}

}  // namespace perisclera::report
