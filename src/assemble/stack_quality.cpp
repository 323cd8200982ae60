// SPDX-License-Identifier: Apache-2.0
#include "stack_quality.h"

#include <algorithm>
#include <cmath>

#include "decimals.h"
#include "perisclera/core/text.h"

namespace perisclera {

namespace {

// Our choice: orbits are scanned at 1 to 3 mm (common practice, no source); a globe of 24 mm and 6 mm beside it need 36 mm.
constexpr double thick_mm = 3.0, needed_extent_mm = 36.0;
/// Thickness and distance are rounded in headers.
constexpr double rounding_mm = 0.1;

}  // namespace

std::vector<std::string> stack_problems(const VolumeGeometry& geometry, std::optional<double> slice_thickness_mm) {
    const double distance = geometry.spacing_mm()[2], thickness = slice_thickness_mm.value_or(distance);
    std::vector<std::string> words;
    if (std::max(distance, thickness) > thick_mm + rounding_mm)
        words.push_back(say("series_problem.thick", {{"thickness", two_decimals(std::max(distance, thickness))}}));
    if (distance > thickness + rounding_mm) words.push_back(say("series_problem.room_between", {{"distance", two_decimals(distance - thickness)}}));
    const double extent = distance * (geometry.size()[2] - 1) + thickness;
    if (extent < needed_extent_mm) words.push_back(say("series_problem.short_stack", {{"extent", two_decimals(extent)}}));
    return words;
}

std::optional<std::string> contradicted_distance(const VolumeGeometry& geometry, std::optional<double> slice_thickness_mm, std::optional<double> stated_mm) {
    const double distance = geometry.spacing_mm()[2];
    const auto is_stated = [&](double mm) { return std::abs(std::abs(*stated_mm) - mm) <= rounding_mm; };
    if (!stated_mm || is_stated(distance) || (slice_thickness_mm && is_stated(std::abs(distance - *slice_thickness_mm)))) return std::nullopt;
    return say("series_problem.contradicted_distance", {{"distance", two_decimals(distance)}, {"stated", two_decimals(std::abs(*stated_mm))}});
}

std::optional<std::string> side_conflict(const VolumeGeometry& geometry, std::optional<Eye> stated) {
    // A globe lies some 31 mm beside the head's middle; no usual scan has the head off the scanner's middle by that and this much more.
    // Images of half a head's width (150 mm) and more hold both eyes, wherever the middle is.
    constexpr double beyond_middle_mm = 15.0, one_side_mm = 75.0;
    if (!stated) return std::nullopt;
    const auto size = geometry.size();
    double nearest = 1e9, farthest = -1e9;  // of the images, towards the patient's left
    for (int corner = 0; corner < 8; ++corner) {
        const double x = geometry.to_patient({corner & 1 ? size[0] - 1.0 : 0.0, corner & 2 ? size[1] - 1.0 : 0.0, corner & 4 ? size[2] - 1.0 : 0.0}).x;
        nearest = std::min(nearest, x), farthest = std::max(farthest, x);
    }
    if (farthest - nearest > one_side_mm || !(*stated == Eye::right ? nearest > beyond_middle_mm : farthest < -beyond_middle_mm)) return std::nullopt;
    return say(*stated == Eye::right ? "series_problem.right_by_header" : "series_problem.left_by_header", {{"from", two_decimals(nearest)}, {"to", two_decimals(farthest)}});
}

}  // namespace perisclera
