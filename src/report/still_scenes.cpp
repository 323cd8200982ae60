// SPDX-License-Identifier: Apache-2.0
#include "perisclera/report/still_scenes.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "perisclera/core/text.h"
#include "perisclera/report/eye_words.h"
#include "perisclera/report/wording.h"
#include "perisclera/report/canvas.h"
#include "src/report/eye_in_space.h"

namespace perisclera::report {

namespace {

constexpr int pixels = 640;
constexpr double padding = 8.0;
constexpr Font label_font{17.0, true}, small_font{14.0, true}, caption_font{14.0};

scene::Surface surface_of(const PartInSpace& part) { return {part.look.lightness, part.look.opacity, part.look.ruled, part.mesh->corners, part.mesh->triangles}; }

scene::Surface cornea_of(const EyeInSpace& eye) {
    constexpr std::uint32_t sides = 48;
    const auto forward = static_cast<float>(eye.limbus_forward);
    scene::Surface disc{cornea_look.lightness, cornea_look.opacity, cornea_look.ruled, {{0.0f, 0.0f, forward}}, {}};
    for (std::uint32_t k = 0; k < sides; ++k) {
        const double angle = 2.0 * std::numbers::pi * k / sides;
        disc.corners.push_back({static_cast<float>(eye.limbus_radius * std::cos(angle)), static_cast<float>(eye.limbus_radius * std::sin(angle)), forward});
        disc.triangles.push_back({0, k + 1, (k + 1) % sides + 1});
    }
    return disc;
}

/// As near as all of it is seen, with a border for the labels; no farther than the picture that is turned.
double half_width_of(const EyeInSpace& eye) {
    constexpr double nearest = 16.0, border = 2.5;   // mm
    const scene::Scene unscaled{2, 1.0, eye.towards, {}};   // one pixel a millimetre, its middle at (1, 1)
    double farthest = 0.0;
    for (const PartInSpace& part : eye.parts)
        for (const auto& c : part.mesh->corners) {
            const scene::OnPicture at = on_picture(unscaled, {static_cast<double>(c[0]), static_cast<double>(c[1]), static_cast<double>(c[2])});
            farthest = std::max({farthest, std::abs(at.x - 1.0), std::abs(at.y - 1.0)});
        }
    return std::clamp(std::ceil(farthest + border), nearest, half_width_mm);
}

/// Without surfaces: the view alone.
scene::Scene view_of(const EyeInSpace& eye) { return {pixels, half_width_of(eye), eye.towards, {}}; }

scene::Scene scene_of(const EyeInSpace& eye) {
    scene::Scene out = view_of(eye);
    for (const PartInSpace& part : eye.parts) out.surfaces.push_back(surface_of(part));
    out.surfaces.push_back(cornea_of(eye));
    return out;
}

/// Where the patient's left, up and the eye's front are, as short lines with their words; what points at the viewer or away is left out.
void draw_directions(Canvas& canvas, const scene::Scene& scene) {
    constexpr double left = 84.0, top = pixels - 64.0, middle = pixels / 2.0, shortest = 18.0;
    struct Direction {
        std::string_view key;
        scene::Place end, beyond;
    };
    for (const Direction& d : {Direction{"still.left", {3.2, 0, 0}, {4.4, 0, 0}}, Direction{"still.up", {0, 3.2, 0}, {0, 4.4, 0}}, Direction{"still.front", {0, 0, 3.2}, {0, 0, 4.4}}}) {
        const scene::OnPicture end = on_picture(scene, d.end), letter = on_picture(scene, d.beyond);
        if (std::hypot(end.x - middle, end.y - middle) < shortest) continue;
        canvas.cased_path({{left, top}, {left + end.x - middle, top + end.y - middle}}, false, false, 2.0);
        canvas.cased_text(say(d.key), left + letter.x - middle, top + letter.y - middle, small_font, pixels, pixels);
    }
}

/// Lengths across the view are true everywhere, since it has no perspective.
void draw_scale(Canvas& canvas, const scene::Scene& scene) {
    constexpr double mm = 10.0, right = pixels - 30.0, y = pixels - 20.0;
    const double left = right - mm * pixels / (2.0 * scene.half_width);
    canvas.cased_path({{left, y - 5}, {left, y + 5}, {left, y}, {right, y}, {right, y - 5}, {right, y + 5}}, false, false, 2.0);
    canvas.cased_text(fixed(mm, 0) + " mm", (left + right) / 2.0, y - 15.0, small_font, pixels, pixels);
}

std::string caption_of(const ReportModel& model, const EyeInSpace& eye) {
    std::string elements;
    for (const ElementShape& e : eye.shape->elements) elements += (elements.empty() ? "" : ", ") + e.id;
    return (model.simulated ? say("drawing.simulated") + " " : "") + say("still.caption", {{"date", eye.visit->study_date.iso()}, {"eye", in_words(eye.shape->eye)}, {"elements", elements}}) + " " +
           say(eye.shape->muscles.empty() ? "scene.no_muscle" : "still.muscles");
}

Result<std::string> finished(const ReportModel& model, const EyeInSpace& eye, const scene::GreyPicture& drawn) {
    const scene::Scene scene = view_of(eye);
    const std::string words = caption_of(model, eye);
    constexpr double text_width = pixels - 2.0 * padding;
    const double text_height = Canvas::picture(1, 1).paragraph_height(words, text_width, caption_font);
    Canvas canvas = Canvas::picture(pixels, pixels + static_cast<int>(text_height + 2.0 * padding));
    canvas.paint_pixels(drawn.bytes, drawn.width, drawn.height);
    for (const LabelInSpace& label : eye.labels) {
        const scene::OnPicture at = on_picture(scene, label.place);
        if (at.nearer >= 0.0) canvas.cased_text(label.text, at.x, at.y, label_font, pixels, pixels);
    }
    draw_directions(canvas, scene);
    draw_scale(canvas, scene);
    canvas.grey(0.0);
    canvas.paragraph(words, padding, pixels + padding, text_width, caption_font);
    return canvas.png();
}

}  // namespace

std::vector<scene::Scene> still_scenes(const ReportModel& model) {
    std::vector<scene::Scene> out;
    for (const EyeInSpace& eye : eyes_in_space(model)) out.push_back(scene_of(eye));
    return out;
}

Result<std::vector<EyeStill>> eye_stills(const ReportModel& model, const std::vector<scene::GreyPicture>& drawn) {
    const std::vector<EyeInSpace> eyes = eyes_in_space(model);
    std::vector<EyeStill> out;
    if (drawn.size() != eyes.size()) return out;
    for (std::size_t k = 0; k < eyes.size(); ++k) {
        auto png = finished(model, eyes[k], drawn[k]);
        if (!png) return png.error();
        out.push_back({eyes[k].shape->eye, eyes[k].visit->id, std::move(png).value()});
    }
    return out;
}

}  // namespace perisclera::report
