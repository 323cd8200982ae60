// SPDX-License-Identifier: Apache-2.0
// Each eye with an element as a still picture, where there is one, and as surfaces for the script to draw: corners in hundredths of a
// millimetre, two bytes each.
#include <algorithm>
#include <cmath>

#include <nlohmann/json.hpp>

#include "perisclera/core/text.h"
#include "perisclera/report/wording.h"
#include "src/report/eye_in_space.h"
#include "src/report/html_sections.h"
#include "src/report/term_words.h"

namespace perisclera::report {

namespace {

using nlohmann::json;

void append_two_bytes(std::string& bytes, unsigned value) {
    bytes += static_cast<char>(value & 0xFFu);
    bytes += static_cast<char>((value >> 8) & 0xFFu);
}

json look_of(const Look& look) { return {{"lightness", look.lightness}, {"opacity", look.opacity}, {"ruled", look.ruled}}; }

json part_of(const PartInSpace& part) {
    std::string corners, triangles;
    for (const auto& c : part.mesh->corners)
        for (const float v : c) append_two_bytes(corners, static_cast<unsigned>(std::lround(std::clamp(v, -300.0f, 300.0f) * 100.0f)) & 0xFFFFu);
    for (const auto& t : part.mesh->triangles)
        for (const std::uint32_t v : t) append_two_bytes(triangles, v);
    return {{"look", look_of(part.look)}, {"corners", base64(corners)}, {"triangles", base64(triangles)}};
}

std::string button(std::string_view view, const std::string& text) { return "<button type=\"button\" value=\"" + std::string(view) + "\">" + escaped(text) + "</button>"; }

std::string still_of(const EyeInSpace& eye, const Figures& figures) {
    for (const EyeStill& still : figures.stills)
        if (still.eye == eye.shape->eye && still.timepoint_id == eye.visit->id)
            return "<figure class=\"still\"><img src=\"" + data_uri(still.png) + "\" alt=\"" + escaped(say("still.alternative", {{"eye", in_words(still.eye)}})) + "\"></figure>\n";
    return "";
}

std::string figures_of(const EyeInSpace& eye, const Figures& figures) {
    const EyeShape& shape = *eye.shape;
    json parts = json::array(), labels = json::array();
    for (const PartInSpace& part : eye.parts) parts.push_back(part_of(part));
    for (const LabelInSpace& label : eye.labels) labels.push_back({label.text, label.place[0], label.place[1], label.place[2]});
    const json scene{{"parts", parts}, {"labels", labels}, {"towards", eye.towards}, {"limbus", {eye.limbus_radius, eye.limbus_forward}}, {"cornea", look_of(cornea_look)}, {"half", half_width_mm}};
    const std::string still = still_of(eye, figures), heading = element("h3", say("scene.figure_heading", {{"eye", side_in_words(shape.eye)}, {"date", eye.visit->study_date.iso()}}));
    std::string muscles;
    for (const MuscleShape& m : shape.muscles) muscles += (muscles.empty() ? "" : ", ") + in_words(m.muscle);
    // Without a still picture the heading comes and goes with what the script draws.
    return (still.empty() ? "" : heading + "<div class=\"space\">" + still) + "<figure class=\"scene\" hidden>" + (still.empty() ? heading : "") +
           "<div class=\"controls\">" + button("element", say("scene.towards_element")) + " " + button("examiner", say("scene.examiner")) + " " + button("surgeon", say("scene.surgeon")) + " " +
           button("behind", say("scene.from_behind")) +
           "</div>\n<div class=\"stage\"><canvas width=\"1040\" height=\"1040\" tabindex=\"0\" role=\"img\" aria-label=\"" +
           escaped(say("scene.picture", {{"eye", in_words(shape.eye)}})) + "\"></canvas></div>\n<p class=\"without\" hidden>" + escaped(say("scene.without_webgl")) + "</p>\n<figcaption>" +
           escaped(say("scene.caption") + " " + (muscles.empty() ? say("scene.no_muscle") : say("scene.muscles", {{"muscles", muscles}}))) + " <span class=\"controls\">" + escaped(say("scene.how")) +
           "</span></figcaption>\n" + data_script(scene.dump()) + "</figure>\n" + (still.empty() ? "" : "</div>\n");
}

}  // namespace

std::string scene_section(const ReportModel& model, const Figures& figures) {
    std::string out;
    for (const EyeInSpace& eye : eyes_in_space(model)) out += figures_of(eye, figures);
    if (out.empty()) return "";
    return "<section>" + element("h2", say("scene.heading")) + "<noscript><p>" + escaped(say("scene.without_scripts")) + "</p></noscript>\n" + out + "</section>\n";
}

}  // namespace perisclera::report
