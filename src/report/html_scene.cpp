// SPDX-License-Identifier: Apache-2.0
// Each eye with an element as surfaces for the script to draw: corners in hundredths of a millimetre, two bytes each.
#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include <nlohmann/json.hpp>

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
        json label{std::to_string(hour) + (hour % 6 == 0 ? "" : nasal ? " nasal" : " temporal")};
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
    const std::string who = std::string(name(shape.eye)) + " eye";
    std::string muscles;
    for (const MuscleShape& m : shape.muscles) muscles += (muscles.empty() ? "" : ", ") + std::string(name(m.muscle));
    return "<figure class=\"scene\" hidden>" + element("h3", (shape.eye == Eye::right ? "Right eye, " : "Left eye, ") + visit.study_date.iso() + ": in space") +
           "<div class=\"controls\"><button type=\"button\" value=\"element\">Towards the element</button> <button type=\"button\" value=\"examiner\">Examiner</button> "
           "<button type=\"button\" value=\"surgeon\">Surgeon</button> <button type=\"button\" value=\"behind\">From behind</button></div>\n"
           "<div class=\"stage\"><canvas width=\"1040\" height=\"1040\" tabindex=\"0\" role=\"img\" aria-label=\"" +
           escaped("The " + who + " in space with its elements; arrow keys turn it") + "\"></canvas></div>\n<p class=\"without\" hidden>This browser cannot draw the eye in space (no WebGL); the maps and sections above show the same.</p>\n<figcaption>" +
           escaped("Dark: elements, as outlined on the images. Light, shining through: the fitted sclera, a disc in place of the cornea, with its equator and a line at every clock hour. " +
                   (muscles.empty() ? std::string("No rectus muscle was found well enough to be drawn.") : "Grey tubes: bellies of the rectus muscles found (" + muscles + "), as thick as measured; their tendons are not shown.")) +
           " <span class=\"controls\">Drag, or turn with the arrow keys; Home goes back.</span></figcaption>\n" + data_script(scene.dump()) + "</figure>\n";
}

}  // namespace

std::string scene_section(const ReportModel& model) {
    std::string out;
    for (const EyeShape& shape : model.eye_shapes) {
        const Timepoint* visit = current_visit(model, shape.eye);
        if (visit != nullptr && visit->id == shape.timepoint_id) out += figure_of(shape, *visit);
    }
    if (out.empty()) return "";
    return "<section><h2>In space</h2>\n<noscript><p>Turning the eye in space needs scripts; the maps and sections above show the same.</p></noscript>\n" + out + "</section>\n";
}

}  // namespace perisclera::report
