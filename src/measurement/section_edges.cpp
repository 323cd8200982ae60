// SPDX-License-Identifier: Apache-2.0
#include "section_edges.h"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "section_profile.h"

namespace perisclera {

SectionShape shape_of(const FoundElement& element) {
    if (element.edge_seen) return SectionShape::outlined;
    return element.appearance == Appearance::ct_bright ? SectionShape::moulded : element.appearance == Appearance::ct_dark ? SectionShape::rod : SectionShape::grown;
}

std::pair<double, double> stretch_above(const std::vector<double>& profile, int peak, double level) {
    const int n = static_cast<int>(profile.size());
    const auto at = [&](int i) { return profile[static_cast<std::size_t>(i)]; };
    int a = peak, b = peak;
    while (a > 0 && at(a - 1) >= level) --a;
    while (b + 1 < n && at(b + 1) >= level) ++b;
    double first = a, last = b;
    if (a > 0 && at(a) > at(a - 1)) first -= std::clamp((at(a) - level) / (at(a) - at(a - 1)), 0.0, 1.0);
    if (b + 1 < n && at(b + 1) < at(b)) last += std::clamp((at(b) - level) / (at(b) - at(b + 1)), 0.0, 1.0);
    return {first, last};
}

SectionEdges edges_of(const std::vector<double>& profile, SectionShape shape, double blur_cells) {
    const auto top = std::max_element(profile.begin(), profile.end());
    const int n = static_cast<int>(profile.size()), peak = static_cast<int>(top - profile.begin());
    if (shape == SectionShape::outlined || shape == SectionShape::rod) {
        const auto fit = shape == SectionShape::rod ? fit_rod(profile, blur_cells) : fit_section(profile, blur_cells);
        if (!fit) return {static_cast<double>(peak), static_cast<double>(peak), 0.0};
        return {fit->first, fit->last, shape == SectionShape::rod ? *top : fit->thickness, fit->edge_doubt, fit->thickness_doubt};
    }
    auto [first, last] = stretch_above(profile, peak, 0.5 * *top);
    if (shape == SectionShape::moulded) {
        // Half of its even height, which noise and what lies beside it lift in single columns; blur moves no edge from there.
        std::vector<double> within(profile.begin() + static_cast<std::ptrdiff_t>(std::ceil(first)), profile.begin() + static_cast<std::ptrdiff_t>(std::floor(last)) + 1);
        const auto middle = within.begin() + static_cast<std::ptrdiff_t>(within.size() / 2);
        std::nth_element(within.begin(), middle, within.end());
        std::tie(first, last) = stretch_above(profile, peak, 0.5 * *middle);
        return {first, last, *top};
    }
    // What grew is wider than where it is half as thick. How round it is shows in its fill: area over peak times half-level
    // width is 1 for a rectangle and pi/4 / cos(30 deg) = 0.907 for an ellipse, whose whole width is 1.155 of that at half level.
    double area = 0.0;
    for (int i = std::max(0, static_cast<int>(std::ceil(first)) - 6); i <= std::min(n - 1, static_cast<int>(std::floor(last)) + 6); ++i) area += std::max(profile[static_cast<std::size_t>(i)], 0.0);
    const double fill = area / std::max(*top * (last - first), 1e-9);
    const double roundness = std::clamp((1.0 - fill) / 0.093, 0.0, 1.0);
    const double widen = 0.5 * (last - first) * 0.155 * roundness;
    return {first - widen, last + widen, *top};
}

}  // namespace perisclera
