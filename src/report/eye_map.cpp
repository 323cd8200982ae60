// SPDX-License-Identifier: Apache-2.0
// A front view of both eyes in which the distance from the limbus along the sclera is drawn true (azimuthal equidistant
// projection), so that an element's edges can be read against the rings.
#include <cmath>
#include <numbers>

#include "perisclera/report/wording.h"
#include "src/report/html_sections.h"

namespace perisclera::report {

namespace {

constexpr double limbus_radius = 5.9;                       // mm
constexpr double shown_arc = 22.0;                          // mm from the limbus to the rim of the drawing
constexpr double equator_arc = 12.7;                        // mm, on a globe of 24 mm
constexpr double rim = limbus_radius + shown_arc;           // mm on the drawing
constexpr double margin = 7.0;                              // mm, for the hours
constexpr double eye_width = 2.0 * (rim + margin);

/// SVG wants the plain minus sign.
std::string coordinate(double v) {
    const double r = std::round(v * 100.0) / 100.0;
    return (r < 0.0 ? "-" : "") + fixed(std::abs(r), 2);
}

std::string point(double centre_x, double radius, double hours) {
    const double angle = hours * std::numbers::pi / 6.0;
    return coordinate(centre_x + radius * std::sin(angle)) + " " + coordinate(-radius * std::cos(angle));
}

std::string circle(double centre_x, double radius, std::string_view attributes) {
    return "<circle cx=\"" + coordinate(centre_x) + "\" cy=\"0\" r=\"" + coordinate(radius) + "\" fill=\"none\" stroke=\"#16202a\" " + std::string(attributes) + "/>";
}

std::string text(double x, double y, double size, std::string_view content, std::string_view anchor = "middle") {
    return "<text x=\"" + coordinate(x) + "\" y=\"" + coordinate(y) + "\" font-size=\"" + coordinate(size) +
           "\" text-anchor=\"" + std::string(anchor) + "\" dominant-baseline=\"central\" fill=\"#16202a\">" + escaped(content) + "</text>";
}

/// Ring sector between two arcs from the limbus; a full turn becomes two half sectors.
std::string sector(double centre_x, double inner, double outer, double from, double span) {
    const double r = limbus_radius + inner, rr = limbus_radius + std::min(outer, shown_arc), half = span / 2.0;
    std::string path;
    for (int part = 0; part < 2; ++part) {
        const double a = from + part * half, b = a + half;
        const std::string arc_out = "A" + coordinate(rr) + " " + coordinate(rr) + " 0 0 1 ", arc_in = "A" + coordinate(r) + " " + coordinate(r) + " 0 0 0 ";
        path += "M" + point(centre_x, r, a) + "L" + point(centre_x, rr, a) + arc_out + point(centre_x, rr, b) + "L" + point(centre_x, r, b) + arc_in +
                point(centre_x, r, a) + "Z";
    }
    return path;
}

std::string draw_element(const ElementEntry& e, double centre_x) {
    const auto *front = e.limbus_anterior.measured(), *rear = e.limbus_posterior.measured();
    const auto *from = e.from.measured(), *to = e.to.measured();
    const bool ring = e.form == Form::encircling && !(from && to);
    if (!front || !rear || !(ring || (from && to))) return "";
    const double start = ring ? 0.0 : from->value().value();
    const auto* span_measured = e.span.measured();
    double span = ring ? 12.0 : ClockPosition(start).clockwise_to(ClockPosition(to->value().value())).value();
    if (!ring && span_measured && span_measured->value() >= ClockHours(11.75)) span = 12.0;
    const double inner = std::max(0.0, front->value().value()), outer = rear->value().value();
    const double middle = start + span / 2.0, radius = limbus_radius + (inner + std::min(outer, shown_arc)) / 2.0, angle = middle * std::numbers::pi / 6.0;
    const double x = centre_x + radius * std::sin(angle), y = -radius * std::cos(angle);
    return "<path d=\"" + sector(centre_x, inner, outer, start, span) + "\" fill=\"url(#hatch)\" stroke=\"#16202a\" stroke-width=\".45\"/><rect x=\"" +
           coordinate(x - 3.2) + "\" y=\"" + coordinate(y - 2.2) + "\" width=\"6.4\" height=\"4.4\" fill=\"#fff\"/>" + text(x, y, 3.6, e.id);
}

/// "nasal" and "temporal" within the rim, on plates: 9 o'clock is temporal in the right eye, nasal in the left.
std::string sides_of(Eye eye, double centre_x) {
    constexpr double size = 2.4, inset = 0.8;
    std::string drawing;
    for (const bool at_nine : {true, false}) {
        const bool temporal = at_nine == (eye == Eye::right);
        const double width = temporal ? 11.4 : 7.0, edge = centre_x + (at_nine ? inset - rim : rim - inset);
        drawing += "<rect x=\"" + coordinate(at_nine ? edge - 0.4 : edge - width + 0.4) + "\" y=\"0.1\" width=\"" + coordinate(width) + "\" height=\"3.4\" fill=\"#fff\"/>" +
                   text(edge, 1.8, size, temporal ? "temporal" : "nasal", at_nine ? "start" : "end");
    }
    return drawing;
}

/// Why an eye is drawn empty: an empty drawing alone would read as "nothing there".
std::string remark_on(const EyeEntry& eye) {
    if (!eye.elements.empty()) return "";
    if (eye.globe.status != GlobeStatus::found) return "not assessed";
    return eye.explant.presence == Presence::absent ? "no explant seen" : "uncertain";
}

}  // namespace

std::string eye_map(const ReportModel& model) {
    std::string drawing, sides, description;  // the sides are drawn last: an element must not hide them
    bool any = false;
    for (const Eye eye : both_eyes) {
        const double x = eye == Eye::right ? 0.0 : eye_width;  // an examiner sees the right eye on the left
        drawing += circle(x, limbus_radius, "stroke-width=\".6\"") + circle(x, limbus_radius + equator_arc, "stroke-width=\".25\" stroke-dasharray=\"1 1\"") +
                   circle(x, rim, "stroke-width=\".25\"");
        for (int h = 1; h <= 12; ++h) {
            const double angle = h * std::numbers::pi / 6.0;
            drawing += text(x + (rim + 2.6) * std::sin(angle), -(rim + 2.6) * std::cos(angle), 2.9, std::to_string(h));
        }
        sides += sides_of(eye, x);
        drawing += text(x, rim + margin + 0.5, 3.4, eye == Eye::right ? "Right eye" : "Left eye");
        const Timepoint* visit = current_visit(model, eye);
        if (!visit) continue;
        std::string remark = remark_on(visit->eye(eye));
        for (const ElementEntry& e : visit->eye(eye).elements) {
            const std::string shape = draw_element(e, x);
            any = any || !shape.empty();
            drawing += shape;
            if (!shape.empty()) description += " " + e.id + ": " + place_in_words(e, eye) + ".";
            if (shape.empty()) remark += (remark.empty() ? "" : "; ") + e.id + " not drawn: edges not measured";
        }
        if (!remark.empty()) drawing += text(x, rim + margin + 4.6, 2.8, remark);
    }
    if (!any) return "";
    const std::string label = "Front view of both eyes as an examiner sees them." + description;
    return "<figure class=\"map\"><svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" aria-label=\"" + escaped(label) + "\" viewBox=\"" + coordinate(-rim - margin) + " " +
           coordinate(-rim - margin) + " " + coordinate(2.0 * eye_width) + " " + coordinate(2.0 * (rim + margin) + 7.0) +
           "\" font-family=\"DejaVu Sans, Arial, sans-serif\"><defs><pattern id=\"hatch\" width=\"2\" height=\"2\" patternUnits=\"userSpaceOnUse\" "
           "patternTransform=\"rotate(45)\"><rect width=\"2\" height=\"2\" fill=\"#dfe5ea\"/><line x1=\"0\" y1=\"0\" x2=\"0\" y2=\"2\" stroke=\"#5a6a78\" "
           "stroke-width=\".5\"/></pattern></defs>" +
           drawing + sides +
           "</svg><figcaption>Front view as an examiner sees it. Distance from the limbus (inner circle) is true along the sclera; dashed ring: equator of a globe of "
           "24 mm. Hatched: elements last seen, drawn at the measured edges without their intervals.</figcaption></figure>\n";
}

}  // namespace perisclera::report
