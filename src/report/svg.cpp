// SPDX-License-Identifier: Apache-2.0
#include "src/report/svg.h"

#include <cmath>

#include "perisclera/report/html.h"
#include "perisclera/report/wording.h"

namespace perisclera::report::svg {

std::string number(double v) {
    const double r = std::round(v * 100.0) / 100.0;
    std::string out = fixed(std::abs(r), 2);
    while (out.back() == '0') out.pop_back();
    if (out.back() == '.') out.pop_back();
    return (r < 0.0 ? "-" : "") + out;
}

std::string point(double x, double y) { return number(x) + " " + number(y); }

std::string circle(double x, double y, double radius, std::string_view attributes) {
    return "<circle cx=\"" + number(x) + "\" cy=\"" + number(y) + "\" r=\"" + number(radius) + "\" " + std::string(attributes) + "/>";
}

std::string line(double x1, double y1, double x2, double y2, std::string_view attributes) {
    return "<line x1=\"" + number(x1) + "\" y1=\"" + number(y1) + "\" x2=\"" + number(x2) + "\" y2=\"" + number(y2) + "\" " + std::string(attributes) + "/>";
}

std::string path(const std::string& d, std::string_view attributes) { return "<path d=\"" + d + "\" " + std::string(attributes) + "/>"; }

std::string text(double x, double y, double size, std::string_view words, std::string_view anchor, bool bold) {
    return "<text x=\"" + number(x) + "\" y=\"" + number(y) + "\" font-size=\"" + number(size) + "\" text-anchor=\"" + std::string(anchor) + "\" dominant-baseline=\"central\"" +
           (bold ? " font-weight=\"700\"" : "") + " fill=\"" + std::string(ink) + "\" stroke=\"#fff\" stroke-width=\"" + number(size * 0.25) + "\" stroke-linejoin=\"round\" paint-order=\"stroke\">" +
           escaped(words) + "</text>";
}

}  // namespace perisclera::report::svg
