// SPDX-License-Identifier: Apache-2.0
#include "stack_quality.h"

#include <algorithm>
#include <cmath>

#include "decimals.h"

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
        words.push_back("slices of " + two_decimals(std::max(distance, thickness)) + " mm are thick for the orbit: thin elements may not show");
    if (distance > thickness + rounding_mm) words.push_back("between slices " + two_decimals(distance - thickness) + " mm were not imaged");
    const double extent = distance * (geometry.size()[2] - 1) + thickness;
    if (extent < needed_extent_mm) words.push_back("the slices cover " + two_decimals(extent) + " mm, less than a globe and its surroundings");
    return words;
}

std::optional<std::string> contradicted_distance(const VolumeGeometry& geometry, std::optional<double> slice_thickness_mm, std::optional<double> stated_mm) {
    const double distance = geometry.spacing_mm()[2];
    const auto is_stated = [&](double mm) { return std::abs(std::abs(*stated_mm) - mm) <= rounding_mm; };
    if (!stated_mm || is_stated(distance) || (slice_thickness_mm && is_stated(std::abs(distance - *slice_thickness_mm)))) return std::nullopt;
    return "the positions put slices " + two_decimals(distance) + " mm apart, the header says " + two_decimals(std::abs(*stated_mm)) + " mm";
}

}  // namespace perisclera
