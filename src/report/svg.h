// SPDX-License-Identifier: Apache-2.0
#pragma once
// Pieces of inline SVG in the page's ink. Lengths are in the drawing's own units; text is escaped.
#include <string>
#include <string_view>

namespace perisclera::report::svg {

inline constexpr std::string_view ink = "#16202a";

/// Two decimals at most, with the plain minus sign that SVG wants.
std::string number(double v);
std::string point(double x, double y);
std::string circle(double x, double y, double radius, std::string_view attributes);
std::string line(double x1, double y1, double x2, double y2, std::string_view attributes);
std::string path(const std::string& d, std::string_view attributes);
/// One line of text, its middle at y, with a white rim so that it reads on any pattern; anchor: start, middle, end.
std::string text(double x, double y, double size, std::string_view words, std::string_view anchor = "middle", bool bold = false);

}  // namespace perisclera::report::svg
