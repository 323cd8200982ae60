// SPDX-License-Identifier: Apache-2.0
#include "edge_blur.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <vector>

#include "globe_shape.h"
#include "least_squares.h"

namespace perisclera::phantoms {

namespace {

struct Place {
    int x, y, z;
    double steepness;  ///< in the plane, per pixel
};

Numbers<3> gradient(const VoxelGrid& g, int x, int y, int z) {
    const auto half = [](float a, float b) { return 0.5 * (static_cast<double>(b) - static_cast<double>(a)); };
    return {half(g.at(x - 1, y, z), g.at(x + 1, y, z)), half(g.at(x, y - 1, z), g.at(x, y + 1, z)), half(g.at(x, y, z - 1), g.at(x, y, z + 1))};
}

/// The steepest places first, none within `apart` pixels of another of its slice. Where the surface leans so much that the slice's thickness would widen it
/// there is none.
std::vector<Place> steep_places(const VoxelGrid& g, PatientPoint centre, double reach_mm, double slice_thickness_mm, int apart) {
    const auto size = g.geometry().size();
    const auto spacing = g.geometry().spacing_mm();
    std::vector<Place> all;
    for (int z = 1; z + 1 < size[2]; ++z)
        for (int y = apart; y + apart < size[1]; ++y)
            for (int x = apart; x + apart < size[0]; ++x) {
                if (length(g.geometry().to_patient({static_cast<double>(x), static_cast<double>(y), static_cast<double>(z)}) - centre) > reach_mm) continue;
                const Numbers<3> slope = gradient(g, x, y, z);
                const double steepness = std::hypot(slope[0], slope[1]);
                if (slice_thickness_mm / spacing[2] * std::abs(slope[2]) <= 0.5 * steepness && steepness > 0.0) all.push_back({x, y, z, steepness});
            }
    std::stable_sort(all.begin(), all.end(), [](const Place& a, const Place& b) { return a.steepness > b.steepness; });
    constexpr std::size_t wanted = 2000;
    std::vector<Place> kept;
    for (const Place& p : all) {
        if (kept.size() == wanted) break;
        const auto beside = [&](const Place& k) { return k.z == p.z && std::abs(k.x - p.x) <= apart && std::abs(k.y - p.y) <= apart; };
        if (std::none_of(kept.begin(), kept.end(), beside)) kept.push_back(p);
    }
    return kept;
}

/// Standard deviation in pixels of the step about the place, which may be curved; none where what lies there is no step between two even sides.
std::optional<double> step_width(const VoxelGrid& g, const Place& at, int half) {
    // The step's direction: that along which values change most over the whole window.
    double xx = 0.0, xy = 0.0, yy = 0.0;
    for (int y = -half + 1; y < half; ++y)
        for (int x = -half + 1; x < half; ++x) {
            const Numbers<3> slope = gradient(g, at.x + x, at.y + y, at.z);
            xx += slope[0] * slope[0], xy += slope[0] * slope[1], yy += slope[1] * slope[1];
        }
    const double angle = 0.5 * std::atan2(2.0 * xy, xx - yy);
    Numbers<5> fit{0.0, 0.0, 0.0, 1.0, 0.0};  // low side, contrast, place along the direction, width, half the curvature
    const auto normal_share = [](double t) { return 0.5 * std::erfc(-t / std::sqrt(2.0)); };
    double squares = 0.0, count = 0.0;
    for (int round = 0; round < 25; ++round) {
        Square<5> m{};
        Numbers<5> v{};
        squares = count = 0.0;
        for (int y = -half; y <= half; ++y)
            for (int x = -half; x <= half; ++x) {
                if (x * x + y * y > half * half) continue;
                const double across = y * std::cos(angle) - x * std::sin(angle), bend = across * across;
                const double t = (x * std::cos(angle) + y * std::sin(angle) - fit[2] - fit[4] * bend) / fit[3], share = normal_share(t);
                const double density = std::exp(-0.5 * t * t) / std::sqrt(2.0 * pi);
                const double off = static_cast<double>(g.at(at.x + x, at.y + y, at.z)) - fit[0] - fit[1] * share;
                // With no contrast yet its place and width mean nothing: the first round fits the two levels.
                const double slope = -fit[1] * density / fit[3];
                add_row(m, v, round == 0 ? Numbers<5>{1.0, share, 0.0, 0.0, 0.0} : Numbers<5>{1.0, share, slope, slope * t, slope * bend}, off);
                squares += off * off, count += 1.0;
            }
        if (round == 0) m[2][2] = m[3][3] = m[4][4] = 1.0;
        const auto step = solved(m, v);
        if (!step) return std::nullopt;
        for (std::size_t i = 0; i < fit.size(); ++i) fit[i] += (*step)[i];
        fit[2] = std::clamp(fit[2], -2.0, 2.0);
        fit[3] = std::clamp(fit[3], 0.2, static_cast<double>(half));
        fit[4] = std::clamp(fit[4], -0.5 / half, 0.5 / half);
    }
    // Texture and noise of real sides leave some; a line, a corner or an uneven side leaves more. The limit was settled in view of three real heads.
    const bool like_a_step = std::sqrt(squares / count) < 0.08 * std::abs(fit[1]), central = std::abs(fit[2]) < 1.0, whole = 3.0 * fit[3] < half;
    return like_a_step && central && whole ? std::optional<double>(fit[3]) : std::nullopt;
}

}  // namespace

std::optional<EdgeBlur> measured_blur(const VoxelGrid& grid, PatientPoint centre, double reach_mm, double slice_thickness_mm) {
    const double pixel = grid.geometry().spacing_mm()[0];
    const int half = std::clamp(static_cast<int>(std::ceil(3.0 / pixel)), 5, 8);
    std::vector<double> widths;
    for (const Place& place : steep_places(grid, centre, reach_mm, slice_thickness_mm, half))
        if (const auto width = step_width(grid, place, half)) widths.push_back(*width);
    if (widths.size() < 20) return std::nullopt;
    const int edges = static_cast<int>(widths.size());
    const double width = median(std::move(widths));
    return EdgeBlur{pixel * std::sqrt(std::max(0.0, width * width - 1.0 / 12.0)), edges};
}

}  // namespace perisclera::phantoms
