// SPDX-License-Identifier: Apache-2.0
// The round map of each eye with an element, its twin as a surgeon sees it, and beneath them what the picked clock hour shows. Without scripts the hour of the
// largest section stays.
#include <algorithm>

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
    if (const Section* s = section_at(e, hour)) return e.id + ": width along the sclera " + in_words(s->width) + ", thickness (outward) " + in_words(s->thickness) + ", area " + in_words(s->area) + ".";
    const Section* nearest = nearest_section(e, hour);
    const std::string where = nearest != nullptr ? " Its nearest measured section lies at " + hour_in_words(*nearest->clock_hour) + ", " + quadrant_in_words(*nearest->clock_hour, eye) + "." : " No section of it was measured at any hour.";
    return e.id + (reaches ? " reaches this hour, but no section was measured here." : ": no section at this hour.") + where;
}

std::string hour_panel(const EyeEntry& entry, const EyeShape* shape, Eye eye, ClockPosition hour, bool shown) {
    const SectionShape* section = nullptr;
    if (shape != nullptr)
        for (const SectionShape& s : shape->sections)
            if (s.hour.distance_to(hour) < ClockHours(0.01)) section = &s;
    std::string out = "<div class=\"hour\" data-hour=\"" + fixed(hour.hours(), 1) + "\"" + (shown ? "" : " hidden") + "><div>" +
                      element("h4", hour_in_words(hour) + ", " + quadrant_in_words(hour, eye) + ": the section there");
    for (const ElementEntry& e : entry.elements) {
        const bool reaches = section != nullptr && std::any_of(section->cuts.begin(), section->cuts.end(), [&](const auto& cut) { return cut.element_id == e.id; });
        out += element("p", words_at(e, hour, eye, reaches));
    }
    if (section == nullptr) out += "<p>No drawing of the section was made.</p>";
    return out + "</div>" + (section != nullptr ? section_drawing(entry, *shape, *section, eye) : "") + "</div>\n";
}

std::string map_of(const ReportModel& model, const Timepoint& visit, Eye eye) {
    const EyeEntry& entry = visit.eye(eye);
    const EyeShape* shape = find_shape(model, visit, eye);
    const std::vector<std::string> missing = not_drawn(entry, shape);
    if (missing.size() == entry.elements.size()) return "";
    const ClockPosition start = first_hour(entry);
    const bool footprints = std::any_of(entry.elements.begin(), entry.elements.end(), [&](const ElementEntry& e) { return shape_of(shape, e.id) != nullptr; });
    std::string out = "<figure class=\"clock\" data-hour=\"" + fixed(start.hours(), 1) + "\">" + element("h3", std::string(eye == Eye::right ? "Right" : "Left") + " eye, " + visit.study_date.iso() + ": clock map") +
                      "<div class=\"twins\">";
    for (const Viewer viewer : {Viewer::examiner, Viewer::surgeon})
        out += "<div>" + element("p", viewer == Viewer::examiner ? "Examiner facing the patient" : "Surgeon at the head: 6 o'clock, inferior, on top") + clock_map(entry, shape, eye, viewer, start) + "</div>";
    out += "</div>\n<p class=\"how\" hidden>Pick a clock hour: click on either map, or use the arrow keys on it.</p>\n<div class=\"hours\" aria-live=\"polite\">\n";
    for (int half = 0; half < 24; ++half) {
        const ClockPosition hour(0.5 * half);
        out += hour_panel(entry, shape, eye, hour, hour.distance_to(start) < ClockHours(0.01));
    }
    std::string left_out;
    for (const std::string& id : missing) left_out += " " + id + " is not drawn: its edges were not measured.";
    return out + "</div><figcaption>" +
           escaped("The sclera laid flat round the eye's axis. Rings: arc from the limbus (inner circle), 5 to 20 mm, true outwards; what runs across is drawn wider the farther back it lies. Dashed ring: equator. " +
                   std::string(footprints ? "Patterned: what the element covers, by the images, without the doubt of its edges." : "Patterned: the element at its measured edges, without their intervals.") +
                   " SR, IR, MR, LR: superior, inferior, medial and lateral rectus where they usually insert (7.7, 6.5, 5.5 and 6.9 mm) and run; not measured in this patient. In the section the barred lines are the measured width along the sclera (inside the eye) and the thickness (outward). They count a place that is filled in part "
                   "by that part, and may differ from the outline, which runs where it is half filled." + left_out) +
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
