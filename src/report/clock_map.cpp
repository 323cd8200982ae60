// SPDX-License-Identifier: Apache-2.0
// The round map: azimuthal equidistant projection, in which an element's distance from the limbus can be read against the rings.
#include "src/report/clock_map.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "perisclera/core/text.h"
#include "perisclera/report/eye_words.h"
#include "perisclera/report/html.h"
#include "perisclera/report/wording.h"
#include "src/report/half_hours.h"
#include "src/report/svg.h"

namespace perisclera::report {

namespace {

constexpr double limbus_radius = 5.9;                       // mm
constexpr double shown_arc = 22.0;                          // mm from the limbus to the rim of the drawing
constexpr double rim = limbus_radius + shown_arc;           // mm on the drawing
constexpr double margin = 6.0;                              // mm, for the hours
constexpr double usual_radius = 12.0;                       // mm, of the globe where it was not measured
constexpr double pi = std::numbers::pi;

double sign_of(Viewer viewer) { return viewer == Viewer::examiner ? 1.0 : -1.0; }

/// On the drawing, where y runs down.
PixelPoint place(double hours, double radius, Viewer viewer) {
    const double angle = hours * pi / 6.0, s = sign_of(viewer);
    return {s * radius * std::sin(angle), -s * radius * std::cos(angle)};
}

std::string place_text(double hours, double radius, Viewer viewer) {
    const PixelPoint p = place(hours, radius, viewer);
    return svg::point(p.x, p.y);
}

/// Ring sector between two arcs from the limbus; a full turn becomes two half sectors.
std::string sector(double inner, double outer, double from, double span, Viewer viewer) {
    const double r = limbus_radius + inner, rr = limbus_radius + std::min(outer, shown_arc), half = span / 2.0;
    std::string path;
    for (int part = 0; part < 2; ++part) {
        const double a = from + part * half, b = a + half;
        const std::string arc_out = "A" + svg::point(rr, rr) + " 0 0 1 ", arc_in = "A" + svg::point(r, r) + " 0 0 0 ";
        path += "M" + place_text(a, r, viewer) + "L" + place_text(a, rr, viewer) + arc_out + place_text(b, rr, viewer) + "L" + place_text(b, r, viewer) + arc_in + place_text(a, r, viewer) + "Z";
    }
    return path;
}

/// Clock extent by the measured edges; nothing where they were not measured.
struct Extent {
    double start, span, inner, outer;
};

std::optional<Extent> measured_extent(const ElementEntry& e) {
    const auto *front = e.limbus_anterior.measured(), *rear = e.limbus_posterior.measured();
    const auto *from = e.from.measured(), *to = e.to.measured();
    const bool ring = e.form == Form::encircling && !(from && to);
    if (!front || !rear || !(ring || (from && to))) return std::nullopt;
    const auto* span_measured = e.span.measured();
    const double start = ring ? 0.0 : from->value().value();
    double span = ring ? 12.0 : ClockPosition(start).clockwise_to(ClockPosition(to->value().value())).value();
    if (!ring && span_measured && span_measured->value() >= ClockHours(11.75)) span = 12.0;
    return Extent{start, span, std::max(0.0, front->value().value()), rear->value().value()};
}

std::string footprint_path(const ElementShape& shape, Viewer viewer) {
    std::string d;
    for (const auto& line : shape.footprint) {
        for (std::size_t k = 0; k < line.size(); ++k) {
            const double s = sign_of(viewer);
            d += (k == 0 ? "M" : "L") + svg::point(s * line[k].left, -s * line[k].up);
        }
        d += "Z";
    }
    return d;
}

/// Where the name of an element goes: the middle of its measured extent, or of its largest line.
PixelPoint label_place(const ElementEntry& e, const ElementShape* shape, Viewer viewer) {
    if (const auto extent = measured_extent(e)) {
        const double hour = extent->span >= 12.0 && e.largest_section.clock_hour ? e.largest_section.clock_hour->hours() + 0.75 : extent->start + extent->span / 2.0;
        return place(hour, limbus_radius + (extent->inner + std::min(extent->outer, shown_arc)) / 2.0, viewer);
    }
    PixelPoint middle{0.0, 0.0};
    const auto& line = shape->footprint.front();
    for (const MapPoint& p : line) middle.x += p.left, middle.y -= p.up;
    const double n = sign_of(viewer) / static_cast<double>(line.size());
    return {middle.x * n, middle.y * n};
}

/// A rectus as it usually runs: from its insertion back to the equator, 10 mm wide at any arc.
std::string rectus(MuscleName muscle, Eye eye, double radius, double limbus_polar, Viewer viewer) {
    // Textbook insertions behind the limbus, mm: medial 5.5, inferior 6.5, lateral 6.9, superior 7.7; the width is a round figure within the published 8.4 to 10.5
    // (Yalcin B et al., Gulhane Med J 2004;49:271-275).
    struct Usual {
        double hour, insertion;
        std::string letters;
    };
    const double nasal = eye == Eye::right ? 3.0 : 9.0;
    const std::array<Usual, 4> usual{{{0.0, 7.7, say("map.superior_rectus")}, {6.0, 6.5, say("map.inferior_rectus")}, {nasal, 5.5, say("map.medial_rectus")}, {12.0 - nasal, 6.9, say("map.lateral_rectus")}}};
    const Usual& u = usual[static_cast<std::size_t>(muscle)];
    constexpr double half_width = 5.0;
    // On the globe a width of w takes w / (R sin polar) of the circle; the map keeps that angle.
    const auto half_hours = [&](double arc) { return half_width / (radius * std::sin(limbus_polar + arc / radius)) * 6.0 / pi; };
    const double equator = radius * (pi / 2.0 - limbus_polar);
    constexpr int steps = 4;
    std::string d;
    const auto add = [&](double side, int step) {
        const double arc = u.insertion + (equator - u.insertion) * step / steps;
        d += (d.empty() ? "M" : "L") + place_text(u.hour + side * half_hours(arc), limbus_radius + arc, viewer);
    };
    for (int k = 0; k <= steps; ++k) add(-1.0, k);
    for (int k = steps; k >= 0; --k) add(1.0, k);
    const PixelPoint at = place(u.hour + 0.35, limbus_radius + shown_arc - 2.0, viewer);   // beside the hour, where the pointer may stand
    return svg::path(d + "Z", "fill=\"#eef1f3\" stroke=\"#5a6a78\" stroke-width=\".25\" stroke-dasharray=\"1.2 .8\"") + svg::text(at.x, at.y, 2.3, u.letters);
}

/// Hours between the recti for the words on rings, those first that no element covers.
std::vector<double> free_hours(const EyeEntry& entry) {
    std::vector<double> hours{10.5, 1.5, 7.5, 4.5};
    constexpr double beside = 0.7;
    std::stable_partition(hours.begin(), hours.end(), [&](double hour) {
        return std::none_of(entry.elements.begin(), entry.elements.end(), [&](const ElementEntry& e) {
            const auto extent = measured_extent(e);
            return extent && ClockPosition(extent->start - beside).clockwise_to(ClockPosition(hour)).value() < extent->span + 2.0 * beside;
        });
    });
    return hours;
}

/// One pattern for each element in turn, told apart by direction and by dots, not by colour.
std::string patterns(const std::string& prefix) {
    const auto pattern = [&](int k, std::string_view turn, std::string_view content) {
        return "<pattern id=\"" + prefix + std::to_string(k) + "\" width=\"1.8\" height=\"1.8\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(" + std::string(turn) + ")\">" +
               "<rect width=\"1.8\" height=\"1.8\" fill=\"#c3ccd4\" fill-opacity=\".75\"/>" + std::string(content) + "</pattern>";
    };
    constexpr std::string_view stripe = "<line x1=\"0\" y1=\"0\" x2=\"0\" y2=\"1.8\" stroke=\"#16202a\" stroke-width=\".8\"/>";
    constexpr std::string_view dot = "<circle cx=\".9\" cy=\".9\" r=\".45\" fill=\"#16202a\"/>";
    return pattern(0, "45", stripe) + pattern(1, "-45", stripe) + pattern(2, "0", dot) + pattern(3, "0", stripe);
}

}  // namespace

std::string hour_in_words(ClockPosition hour) {
    return say("clock.hour", {{"hour", half_hours(hour.hours())}});
}

const Section* nearest_section(const ElementEntry& element, ClockPosition hour) {
    const Section* best = nullptr;
    for (const Section& s : element.sections)
        if (s.clock_hour && (best == nullptr || s.clock_hour->distance_to(hour) < best->clock_hour->distance_to(hour))) best = &s;
    return best;
}

const Section* section_at(const ElementEntry& element, ClockPosition hour) {
    const Section* best = nearest_section(element, hour);
    return best != nullptr && best->clock_hour->distance_to(hour) < ClockHours(0.25) ? best : nullptr;
}

const ElementShape* shape_of(const EyeShape* shape, const std::string& id) {
    if (shape != nullptr)
        for (const ElementShape& e : shape->elements)
            if (e.id == id && !e.footprint.empty()) return &e;
    return nullptr;
}

std::vector<std::string> not_drawn(const EyeEntry& entry, const EyeShape* shape) {
    std::vector<std::string> ids;
    for (const ElementEntry& e : entry.elements)
        if (shape_of(shape, e.id) == nullptr && !measured_extent(e)) ids.push_back(e.id);
    return ids;
}

std::string clock_map(const EyeEntry& entry, const EyeShape* shape, Eye eye, Viewer viewer, ClockPosition hour) {
    const double radius = shape != nullptr ? shape->radius : usual_radius, limbus_polar = shape != nullptr ? shape->limbus_polar : std::asin(limbus_radius / usual_radius);
    const std::string own = std::string(name(eye)) + (viewer == Viewer::examiner ? "-examiner" : "-surgeon"), stroke = "fill=\"none\" stroke=\"" + std::string(svg::ink) + "\" ";
    std::string drawing = "<defs>" + patterns(own) + "<clipPath id=\"" + own + "-rim\"><circle cx=\"0\" cy=\"0\" r=\"" + svg::number(rim) + "\"/></clipPath></defs>";
    for (const MuscleEntry& m : entry.muscles) drawing += rectus(m.muscle, eye, radius, limbus_polar, viewer);
    for (const double arc : {5.0, 10.0, 15.0, 20.0}) drawing += svg::circle(0, 0, limbus_radius + arc, "fill=\"none\" stroke=\"#7d8994\" stroke-width=\".18\"");

    std::string labels, description;
    std::size_t count = 0;
    for (const ElementEntry& e : entry.elements) {
        const ElementShape* drawn = shape_of(shape, e.id);
        const auto extent = measured_extent(e);
        if (drawn == nullptr && !extent) continue;
        const std::string d = drawn != nullptr ? footprint_path(*drawn, viewer) : sector(extent->inner, extent->outer, extent->start, extent->span, viewer);
        drawing += svg::path(d, "fill=\"url(#" + own + std::to_string(count++ % 4) + ")\" fill-rule=\"evenodd\" stroke=\"" + std::string(svg::ink) + "\" stroke-width=\".55\" clip-path=\"url(#" + own + "-rim)\"");
        const PixelPoint at = label_place(e, drawn, viewer);
        labels += svg::text(at.x, at.y, 4.2, e.id, "middle", true);
        description += " " + say("map.element", {{"element", e.id}, {"place", place_in_words(e, eye)}});
    }
    drawing += svg::circle(0, 0, limbus_radius, "fill=\"#fff\" stroke=\"" + std::string(svg::ink) + "\" stroke-width=\".7\"") + svg::circle(0, 0, 2.0, stroke + "stroke-width=\".2\"") +
               svg::circle(0, 0, limbus_radius + radius * (pi / 2.0 - limbus_polar), stroke + "stroke-width=\".45\" stroke-dasharray=\"2 1.2\"") + svg::circle(0, 0, rim, stroke + "stroke-width=\".35\"");
    std::string words;
    const std::vector<double> hours = free_hours(entry);
    for (const int arc : {5, 10, 15, 20}) {
        const PixelPoint at = place(hours[0], limbus_radius + arc, viewer);
        words += svg::text(at.x, at.y, 2.2, arc == 20 ? say("unit.millimetres", {{"number", std::to_string(arc)}}) : std::to_string(arc));
    }
    const PixelPoint equator = place(hours[1], limbus_radius + radius * (pi / 2.0 - limbus_polar), viewer);
    words += svg::text(equator.x, equator.y, 2.2, say("drawing.equator")) + svg::text(0, 4.1, 1.9, say("drawing.limbus"));
    for (int h = 1; h <= 12; ++h) {
        const PixelPoint tick = place(h, rim + 1.0, viewer), from = place(h, rim, viewer), at = place(h, rim + 3.2, viewer);
        drawing += svg::line(from.x, from.y, tick.x, tick.y, "stroke=\"" + std::string(svg::ink) + "\" stroke-width=\".4\"");
        words += svg::text(at.x, at.y, 3.3, std::to_string(h), "middle", h % 3 == 0);
    }
    for (const double at_hour : {3.0, 9.0}) {
        const bool nasal = at_hour == (eye == Eye::right ? 3.0 : 9.0);
        const PixelPoint at = place(at_hour, rim - 0.6, viewer);
        words += svg::text(at.x, at.y + (at.x > 0.0 ? -3.0 : 3.0), 2.4, say(nasal ? "map.nasal" : "map.temporal"), at.x < 0.0 ? "start" : "end");
    }
    const std::string pointer = "<g class=\"pointer\" data-turn=\"" + std::string(viewer == Viewer::examiner ? "0" : "180") + "\" transform=\"rotate(" +
                                svg::number(hour.hours() * 30.0 + (viewer == Viewer::examiner ? 0.0 : 180.0)) + ")\">" +
                                svg::line(0, -limbus_radius, 0, -rim, "stroke=\"#fff\" stroke-width=\"1.3\"") + svg::line(0, -limbus_radius, 0, -rim, "stroke=\"" + std::string(svg::ink) + "\" stroke-width=\".6\"") +
                                svg::circle(0, -rim, 1.5, "fill=\"" + std::string(svg::ink) + "\" stroke=\"#fff\" stroke-width=\".4\"") + "</g>";
    const double edge = rim + margin;
    const std::string label = say(viewer == Viewer::examiner ? "map.by_examiner" : "map.by_surgeon", {{"eye", in_words(eye)}}) + description;
    return "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"map\" role=\"img\" aria-label=\"" + escaped(label) + "\" viewBox=\"" + svg::point(-edge, -edge) + " " + svg::point(2.0 * edge, 2.0 * edge) +
           "\">" + drawing + pointer + words + labels + "</svg>";
}

}  // namespace perisclera::report
