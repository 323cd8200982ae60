// SPDX-License-Identifier: Apache-2.0
// The cut through the eye at a clock hour: sclera, elements, and the measured width and thickness as lines of their own length.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "perisclera/core/text.h"
#include "perisclera/report/eye_words.h"
#include "perisclera/report/html.h"
#include "perisclera/report/wording.h"
#include "src/report/clock_map.h"
#include "src/report/svg.h"

namespace perisclera::report {

namespace {

/// y runs down, the front of the eye is on top.
PixelPoint on_drawing(SectionPoint p) { return {p.out, -p.forward}; }

double polar_of(SectionPoint p) { return std::atan2(p.out, p.forward); }
double distance_of(SectionPoint p) { return std::hypot(p.out, p.forward); }

/// Outer radius of the sclera at a polar angle, linear between the samples.
double sclera_radius(const std::vector<SectionPoint>& sclera, double polar) {
    const auto after = std::find_if(sclera.begin(), sclera.end(), [&](SectionPoint p) { return polar_of(p) >= polar; });
    if (after == sclera.begin()) return distance_of(sclera.front());
    if (after == sclera.end()) return distance_of(sclera.back());
    const SectionPoint before = *(after - 1);
    const double f = (polar - polar_of(before)) / (polar_of(*after) - polar_of(before));
    return (1.0 - f) * distance_of(before) + f * distance_of(*after);
}

SectionPoint at(double polar, double radius) { return {radius * std::sin(polar), radius * std::cos(polar)}; }

std::string path_of(const std::vector<SectionPoint>& points, bool closed) {
    std::string d;
    for (const SectionPoint p : points) d += (d.empty() ? "M" : "L") + svg::point(on_drawing(p).x, on_drawing(p).y);
    return closed ? d + "Z" : d;
}

std::string segment(SectionPoint a, SectionPoint b, std::string_view attributes) {
    return svg::line(on_drawing(a).x, on_drawing(a).y, on_drawing(b).x, on_drawing(b).y, attributes);
}

std::string label(SectionPoint p, double size, std::string_view words, std::string_view anchor = "middle", bool bold = false) {
    return svg::text(on_drawing(p).x, on_drawing(p).y, size, words, anchor, bold);
}

constexpr double text_size = 1.25;
constexpr std::string_view measure = "fill=\"none\" stroke=\"#16202a\" stroke-width=\".35\"";

/// Along the sclera, drawn within the globe where nothing else is; centred on the cut.
std::string width_line(const SectionShape& section, double radius, double middle, double width_mm) {
    constexpr double inwards = 2.0, tick = 0.7;
    const double half = width_mm / 2.0 / radius;
    std::vector<SectionPoint> arc;
    for (int k = 0; k <= 16; ++k) {
        const double polar = middle - half + 2.0 * half * k / 16.0;
        arc.push_back(at(polar, sclera_radius(section.sclera, polar) - inwards));
    }
    const auto end = [&](double polar) {
        const double r = sclera_radius(section.sclera, polar) - inwards;
        return segment(at(polar, r - tick), at(polar, r + tick), measure);
    };
    return svg::path(path_of(arc, false), measure) + end(middle - half) + end(middle + half) +
           label(at(middle, sclera_radius(section.sclera, middle) - inwards - 0.8), text_size, say("unit.millimetres", {{"number", fixed(width_mm, 1)}}), "end");
}

struct Thickest {
    double polar = 0.0, inner = 0.0, outer = 0.0;
};

/// The angle at which the cut reaches farthest from its inner to its outer face.
Thickest thickest(const std::vector<SectionPoint>& line) {
    Thickest best;
    constexpr double within = 0.03;   // radians: about a third of a millimetre
    for (const SectionPoint p : line) {
        Thickest here{polar_of(p), distance_of(p), distance_of(p)};
        for (const SectionPoint q : line)
            if (std::abs(polar_of(q) - here.polar) < within) here.inner = std::min(here.inner, distance_of(q)), here.outer = std::max(here.outer, distance_of(q));
        if (here.outer - here.inner > best.outer - best.inner) best = here;
    }
    return best;
}

std::string thickness_line(const std::vector<SectionPoint>& line, double thickness_mm) {
    const Thickest t = thickest(line);
    const double middle = 0.5 * (t.inner + t.outer), half = 0.5 * thickness_mm, tick = 0.7;
    const auto end = [&](double r) { return segment(at(t.polar - tick / r, r), at(t.polar + tick / r, r), measure); };
    return segment(at(t.polar, middle - half), at(t.polar, middle + half), measure) + end(middle - half) + end(middle + half) +
           label(at(t.polar, std::max(t.outer, middle + half) + 0.7), text_size, say("unit.millimetres", {{"number", fixed(thickness_mm, 1)}}), "start");
}

}  // namespace

std::string section_drawing(const EyeEntry& entry, const EyeShape& shape, const SectionShape& section, Eye eye) {
    constexpr double left = 0.0, top = -14.0, width = 36.0, height = 28.0;
    const std::string own = "cut-" + std::string(name(eye)) + "-" + svg::number(section.hour.hours());
    std::string drawing = "<defs><pattern id=\"" + own + "\" width=\"1\" height=\"1\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><rect width=\"1\" height=\"1\" fill=\"#dde3e8\"/>"
                          "<line x1=\"0\" y1=\"0\" x2=\"0\" y2=\"1\" stroke=\"#16202a\" stroke-width=\".35\"/></pattern></defs>";
    for (const auto& cut : section.cuts)
        for (const auto& line : cut.edges) drawing += svg::path(path_of(line, true), "fill=\"url(#" + own + ")\" stroke=\"#16202a\" stroke-width=\".3\"");
    drawing += svg::path(path_of(section.sclera, false), "fill=\"none\" stroke=\"#16202a\" stroke-width=\".55\"");
    // Ticks of 5 mm along the sclera, from the limbus on.
    for (const int arc : {0, 5, 10, 15, 20}) {
        const double polar = shape.limbus_polar + arc / shape.radius, r = sclera_radius(section.sclera, polar);
        drawing += segment(at(polar, r - (arc == 0 ? 1.4 : 0.6)), at(polar, r + (arc == 0 ? 1.4 : 0.6)), "stroke=\"#16202a\" stroke-width=\".3\"");
        if (arc == 0) drawing += label(at(polar, r + 1.6), text_size, say("drawing.limbus"), "start");
    }
    drawing += segment({0.0, 0.0}, {shape.radius - 6.0, 0.0}, "stroke=\"#5a6a78\" stroke-width=\".2\" stroke-dasharray=\"1 .8\"") + label({0.4, -1.0}, text_size, say("drawing.equator"), "start");
    std::string lines;   // on top of every outline
    for (const auto& cut : section.cuts) {
        const auto element = std::find_if(entry.elements.begin(), entry.elements.end(), [&](const ElementEntry& e) { return e.id == cut.element_id; });
        const auto largest = std::max_element(cut.edges.begin(), cut.edges.end(), [](const auto& a, const auto& b) { return a.size() < b.size(); });
        const auto [front, rear] = std::minmax_element(largest->begin(), largest->end(), [](SectionPoint a, SectionPoint b) { return polar_of(a) < polar_of(b); });
        const double middle = 0.5 * (polar_of(*front) + polar_of(*rear));
        drawing += label(at(polar_of(*front) - 0.1, distance_of(*front) + 0.6), 1.7, cut.element_id, "start", true);
        const Section* measured = element == entry.elements.end() ? nullptr : section_at(*element, section.hour);
        if (measured == nullptr) continue;
        if (const auto* w = measured->width.measured()) lines += width_line(section, shape.radius, middle, w->value().value());
        if (const auto* h = measured->thickness.measured()) lines += thickness_line(*largest, h->value().value());
    }
    constexpr double bar = 5.0;
    drawing += lines + svg::line(width - 7.0, 12.6, width - 7.0 + bar, 12.6, "stroke=\"#16202a\" stroke-width=\".5\"") + svg::text(width - 7.0 + bar / 2.0, 11.4, text_size, say("unit.millimetres", {{"number", svg::number(bar)}})) +
               svg::text(0.5, -13.2, text_size, say("section.front"), "start") + svg::text(0.5, 13.2, text_size, say("section.back"), "start");
    return "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"cut\" role=\"img\" aria-label=\"" +
           escaped(say("section.picture", {{"eye", in_words(eye)}, {"hour", hour_in_words(section.hour)}})) + "\" viewBox=\"" + svg::point(left, top) + " " + svg::point(width, height) + "\">" + drawing +
           "</svg>";
}

}  // namespace perisclera::report
