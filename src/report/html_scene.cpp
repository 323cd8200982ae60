// SPDX-License-Identifier: Apache-2.0
// Each eye with an element as surfaces for the script to draw: corners in hundredths of a millimetre, two bytes each.
#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include <nlohmann/json.hpp>

#include "perisclera/core/text.h"
#include "perisclera/report/eye_words.h"
#include "perisclera/report/wording.h"
#include "src/report/html_sections.h"

namespace perisclera::report {

namespace {

using nlohmann::json;

void append_two_bytes(std::string& bytes, unsigned value) {
    bytes += static_cast<char>(value & 0xFFu);
    bytes += static_cast<char>((value >> 8) & 0xFFu);
}

/// Empty where the mesh has none or more corners than two bytes count.
json part_of(const Mesh& mesh, std::string_view kind) {
    if (mesh.triangles.empty() || mesh.corners.size() > std::numeric_limits<std::uint16_t>::max()) return {};
    std::string corners, triangles;
    for (const auto& c : mesh.corners)
        for (const float v : c) append_two_bytes(corners, static_cast<unsigned>(std::lround(std::clamp(v, -300.0f, 300.0f) * 100.0f)) & 0xFFFFu);
    for (const auto& t : mesh.triangles)
        for (const std::uint32_t v : t) append_two_bytes(triangles, v);
    return {{"kind", kind}, {"corners", base64(corners)}, {"triangles", base64(triangles)}};
}

/// At a clock hour, an angle from the eye's axis and a distance from the globe's centre.
json place_of(double hours, double polar, double distance) {
    const double angle = hours * std::numbers::pi / 6.0;
    const auto tenth = [](double v) { return std::round(v * 10.0) / 10.0; };
    return {tenth(distance * std::sin(polar) * std::sin(angle)), tenth(distance * std::sin(polar) * std::cos(angle)), tenth(distance * std::cos(polar))};
}

std::string button(std::string_view view, const std::string& text) { return "<button type=\"button\" value=\"" + std::string(view) + "\">" + escaped(text) + "</button>"; }

std::string figure_of(const EyeShape& shape, const Timepoint& visit) {
    const EyeEntry& entry = visit.eye(shape.eye);
    json parts = json::array(), labels = json::array();
    // What shines through the globe is drawn before it.
    const auto add = [&](const Mesh& mesh, std::string_view kind) {
        if (json part = part_of(mesh, kind); !part.is_null()) parts.push_back(std::move(part));
    };
    for (const ElementShape& e : shape.elements) add(e.surface, "element");
    if (parts.empty()) return "";
    for (const MuscleShape& m : shape.muscles) add(m.surface, "muscle");
    add(shape.globe, "globe");
    for (const int hour : {12, 3, 6, 9}) {
        const bool nasal = hour == (shape.eye == Eye::right ? 3 : 9);
        const std::string dial = std::to_string(hour);
        json label{hour % 6 == 0 ? dial : say(nasal ? "scene.nasal" : "scene.temporal", {{"hour", dial}})};
        for (const json& v : place_of(hour, shape.limbus_polar + 0.05, shape.radius + 1.0)) label.push_back(v);
        labels.push_back(std::move(label));
    }
    double hour = 0.0;
    for (const ElementEntry& e : entry.elements) {
        if (!e.largest_section.clock_hour) continue;
        hour = e.largest_section.clock_hour->hours();
        break;
    }
    constexpr double aslant = 1.1;   // radians from the eye's axis: front and side are both seen
    const json scene{{"parts", parts}, {"labels", labels}, {"towards", place_of(hour, aslant, 10.0)}, {"limbus", {5.9, std::round(shape.radius * std::cos(shape.limbus_polar) * 10.0) / 10.0}}};
    std::string muscles;
    for (const MuscleShape& m : shape.muscles) muscles += (muscles.empty() ? "" : ", ") + std::string(name(m.muscle));
    return "<figure class=\"scene\" hidden>" + element("h3", say("scene.figure_heading", {{"eye", side_in_words(shape.eye)}, {"date", visit.study_date.iso()}})) +
           "<div class=\"controls\">" + button("element", say("scene.towards_element")) + " " + button("examiner", say("scene.examiner")) + " " + button("surgeon", say("scene.surgeon")) + " " +
           button("behind", say("scene.from_behind")) +
           "</div>\n<div class=\"stage\"><canvas width=\"1040\" height=\"1040\" tabindex=\"0\" role=\"img\" aria-label=\"" +
           escaped(say("scene.picture", {{"eye", in_words(shape.eye)}})) + "\"></canvas></div>\n<p class=\"without\" hidden>" + escaped(say("scene.without_webgl")) + "</p>\n<figcaption>" +
           escaped(say("scene.caption") + " " + (muscles.empty() ? say("scene.no_muscle") : say("scene.muscles", {{"muscles", muscles}}))) + " <span class=\"controls\">" + escaped(say("scene.how")) +
           "</span></figcaption>\n" + data_script(scene.dump()) + "</figure>\n";
}

}  // namespace

std::string scene_section(const ReportModel& model) {
    std::string out;
    for (const EyeShape& shape : model.eye_shapes) {
        const Timepoint* visit = current_visit(model, shape.eye);
        if (visit != nullptr && visit->id == shape.timepoint_id) out += figure_of(shape, *visit);
    }
    if (out.empty()) return "";
    return "<section>" + element("h2", say("scene.heading")) + "<noscript><p>" + escaped(say("scene.without_scripts")) + "</p></noscript>\n" + out + "</section>\n";
}

}  // namespace perisclera::report
