// SPDX-License-Identifier: Apache-2.0
#include "skin_edge.h"

#include <array>
#include <cmath>
#include <numbers>
#include <vector>

#include "median.h"

namespace perisclera {

namespace {

constexpr int clocks = PolarBlock::clock_count, heights = PolarBlock::height_count;
constexpr int polars = 32;                 // to 67 degrees from the axis: lids, and skin above and below them
constexpr int within = 3, beyond = 4;      // cells of a line on either side of its edge: 1.5 and 2 mm

/// Where a line leaves the skin, and the standard deviation of the step along it, mm.
struct Crossing {
    double height_mm, blur_mm;
};

using Line = std::array<double, within + beyond + 1>;

/// Square of what the best step between two levels leaves of a line, by its place and blur in cells.
double left_over(const Line& line, double place, double blur) {
    std::array<double, within + beyond + 1> shape{};
    double n = static_cast<double>(line.size()), s = 0.0, ss = 0.0, v = 0.0, vv = 0.0, sv = 0.0;
    for (std::size_t k = 0; k < line.size(); ++k) {
        shape[k] = 0.5 * std::erfc((static_cast<double>(k) - place) / (blur * std::numbers::sqrt2));
        s += shape[k], ss += shape[k] * shape[k], v += line[k], vv += line[k] * line[k], sv += shape[k] * line[k];
    }
    const double across = n * ss - s * s, both = n * sv - s * v;
    return std::max(0.0, vv - v * v / n - (across > 0.0 ? both * both / (n * across) : 0.0));
}

/// Place and blur that leave least, both in cells, by ever smaller steps.
std::array<double, 3> best_step(const Line& line, double place) {
    double blur = 1.0, least = left_over(line, place, blur);
    for (double step = 0.4; step > 0.01; step *= 0.5)
        for (bool better = true; better;) {
            better = false;
            for (const auto& [move, widen] : {std::array{step, 1.0}, {-step, 1.0}, {0.0, 1.0 + step}, {0.0, 1.0 / (1.0 + step)}})
                if (const double now = left_over(line, place + move, blur * widen); now < least) {
                    least = now, place += move, blur *= widen, better = true;
                    break;
                }
        }
    return {place, blur, std::sqrt(least / static_cast<double>(line.size()))};
}

std::optional<Crossing> skin_crossing(const PolarBlock& block, int clock, int polar) {
    constexpr double half_way_hu = -500.0, lightest_skin_hu = -130.0, densest_skin_hu = 150.0, air_hu = -930.0, uneven_hu = 40.0, most_left = 0.02;   // of the step
    const auto at = [&](int h) { return static_cast<double>(block.value(PolarBlock::index(clock, polar, h))); };
    int last = 0;
    while (last < heights && block.inside(PolarBlock::index(clock, polar, last))) ++last;
    int edge = within + 1;
    while (edge + 1 < last && !(at(edge) > half_way_hu && at(edge + 1) <= half_way_hu)) ++edge;
    if (edge + beyond + 1 >= last) return std::nullopt;
    const double skin = 0.5 * (at(edge - within) + at(edge - within - 1)), air = 0.5 * (at(edge + beyond) + at(edge + beyond + 1));
    if (skin < lightest_skin_hu || skin > densest_skin_hu || air > air_hu) return std::nullopt;
    Line line{};
    for (int k = -within; k <= beyond; ++k) line[static_cast<std::size_t>(k + within)] = at(edge + k);
    for (std::size_t k = 1; k < line.size(); ++k)
        if (line[k] > line[k - 1] + uneven_hu) return std::nullopt;
    const auto [place, blur, left] = best_step(line, within + (at(edge) - half_way_hu) / (at(edge) - at(edge + 1)));
    if (left > most_left * (skin - air)) return std::nullopt;
    return Crossing{PolarBlock::height_mm(edge - within) + place * PolarBlock::height_step_mm, blur * PolarBlock::height_step_mm};
}

/// What one place of the skin says: variance across its edge, and the squared cosine of its normal with the slices'.
struct Place {
    double variance, along_slices_normal;
};

std::vector<Place> places_of_skin(const PolarBlock& block) {
    constexpr int clock_step = 4, polar_step = 2;
    constexpr double least_cosine = 0.8;   // of the line with the skin's normal
    constexpr int rows = clocks / clock_step, columns = polars / polar_step;
    std::vector<std::optional<Crossing>> crossings;
    for (int c = 0; c < rows; ++c)
        for (int p = 0; p < columns; ++p) crossings.push_back(skin_crossing(block, c * clock_step, p * polar_step));
    const auto crossing = [&](int c, int p) -> const std::optional<Crossing>& { return crossings[static_cast<std::size_t>(((c + rows) % rows) * columns + p)]; };
    const auto point = [&](int c, int p) {
        return block.patient_point(PolarBlock::clock_hours(((c + rows) % rows) * clock_step), PolarBlock::polar_radians(p * polar_step), crossing(c, p)->height_mm);
    };
    std::vector<Place> out;
    for (int c = 0; c < rows; ++c)
        for (int p = 1; p + 1 < columns; ++p) {
            if (!crossing(c, p) || !crossing(c + 1, p) || !crossing(c - 1, p) || !crossing(c, p + 1) || !crossing(c, p - 1)) continue;
            const PatientVector normal = cross(point(c + 1, p) - point(c - 1, p), point(c, p + 1) - point(c, p - 1)), line = point(c, p) - block.globe().frame.origin();
            const double along = std::abs(dot(normal, line)) / (length(normal) * length(line));
            if (along < least_cosine) continue;
            out.push_back({std::pow(crossing(c, p)->blur_mm * along, 2), std::pow(dot(normal, block.geometry().normal()) / length(normal), 2)});
        }
    return out;
}

}  // namespace

std::optional<SkinBlur> blur_of_skin(const PolarBlock& block) {
    constexpr double nearly_in_plane = 0.12, well_out_of_plane = 0.25;   // squared cosines
    constexpr std::size_t enough = 12;
    // Linear interpolation spreads by a sixth of the squared spacing, a slice's own extent by a twelfth; overlapping slices are thicker than their spacing.
    constexpr double of_spacing = 1.0 / 6.0 + 1.0 / 12.0, usual_doubt = 0.25, seen_doubt = 0.15;
    const double slices = of_spacing * std::pow(block.geometry().spacing_mm()[2], 2);
    const std::vector<Place> places = places_of_skin(block);
    std::vector<double> in_plane, along_slices;
    for (const Place& p : places)
        if (p.along_slices_normal < nearly_in_plane) in_plane.push_back((p.variance - p.along_slices_normal * slices) / (1.0 - p.along_slices_normal));
    if (in_plane.size() < enough) return std::nullopt;
    const double plane = median(in_plane);
    if (!(plane > 0.0)) return std::nullopt;
    for (const Place& p : places)
        if (p.along_slices_normal > well_out_of_plane) along_slices.push_back((p.variance - (1.0 - p.along_slices_normal) * plane) / p.along_slices_normal);
    const double seen = along_slices.size() < enough ? 0.0 : median(along_slices);
    if (!(seen > 0.0)) return SkinBlur{plane, slices, usual_doubt};
    const double told = 1.0 / (seen_doubt * seen_doubt), before = 1.0 / (usual_doubt * usual_doubt);
    return SkinBlur{plane, (told * seen + before * slices) / (told + before), 1.0 / std::sqrt(told + before)};
}

}  // namespace perisclera
