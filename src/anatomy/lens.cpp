// SPDX-License-Identifier: Apache-2.0
#include "lens.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "perisclera/core/quantile.h"

namespace perisclera {

namespace {

/// Less than this does not tell a lens from noise and unevenness.
double least_lens_departure(const Fit& fit) { return std::max(4.0 * fit.interior_spread, 0.02 * fit.contrast); }

}  // namespace

std::optional<PatientVector> lens_direction(const VoxelGrid& grid, const Fit& fit, PatientVector straight_ahead) {
    const SmoothRadius shape(fit.shape, fit.anterior);
    struct Cell {
        PatientVector from_centre;
        double departure;
    };
    std::vector<Cell> cells;
    std::vector<double> departures;
    constexpr double step = 0.6;
    for (double x = -10.0; x <= 10.0; x += step)
        for (double y = -10.0; y <= 10.0; y += step)
            for (double z = -10.0; z <= 10.0; z += step) {
                const PatientVector d{x, y, z};
                const double r = length(d);
                if (r < 3.5 || r > 9.0) continue;
                const PatientVector u = d / r;
                if (r > shape.at(u) - 2.0 || dot(u, straight_ahead) < 0.72) continue;
                cells.push_back({d, std::abs(static_cast<double>(grid.sample(fit.centre + d)) - fit.interior_mean)});
                departures.push_back(cells.back().departure);
            }
    // On T1 lens and vitreous differ far less than vitreous and fat: half of what the lens itself shows is enough.
    const double threshold = std::max(least_lens_departure(fit), 0.5 * std::min(fit.contrast, quantile(std::move(departures), 0.9)));
    PatientVector sum{0, 0, 0};
    double weight = 0.0;
    for (const Cell& cell : cells) {
        if (cell.departure < threshold) continue;
        const double w = std::min(cell.departure, 3.0 * threshold) - threshold;
        sum = sum + cell.from_centre * w;
        weight += w * step * step * step / threshold;
    }
    if (weight < 15.0) return std::nullopt;  // a lens fills about 180 mm3
    return unit(sum);
}

std::optional<LensPlace> lens_place(const VoxelGrid& grid, const Fit& fit, PatientVector axis) {
    const PatientVector across = unit(cross(axis, std::abs(axis.z) < 0.7 ? PatientVector{0, 0, 1} : PatientVector{1, 0, 0})), other = cross(axis, across);
    constexpr double first = 2.0, step = 0.25, thickest_lens_mm = 4.0;
    std::vector<double> departure;
    for (double along = first; along < 13.0; along += step) {
        double sum = 0.0;
        int count = 0;
        for (double x = -2.0; x <= 2.0; x += 0.5)
            for (double y = -2.0; y <= 2.0; y += 0.5) {
                if (x * x + y * y > 4.0) continue;
                sum += static_cast<double>(grid.sample(fit.centre + axis * along + across * x + other * y)) - fit.interior_mean;
                ++count;
            }
        departure.push_back(std::abs(sum / count));
    }
    // Within the eye the lens departs most; nothing does after its removal.
    const auto at = [&](double along) { return departure.begin() + static_cast<std::ptrdiff_t>((along - first) / step); };
    const double most = *std::max_element(at(4.0), at(10.5));
    if (most < least_lens_departure(fit)) return std::nullopt;
    const double level = 0.5 * most;
    std::size_t back = 0;
    while (back < departure.size() && departure[back] < level) ++back;
    std::size_t front = back;
    while (front < departure.size() && departure[front] >= level) ++front;
    if (back == 0 || back == departure.size()) return std::nullopt;
    const double thickness = std::min(thickest_lens_mm, step * static_cast<double>(front - back));
    const auto& g = grid.geometry();
    const double voxel = std::hypot(dot(axis, g.row()) * g.spacing_mm()[0], dot(axis, g.column()) * g.spacing_mm()[1], dot(axis, g.normal()) * g.spacing_mm()[2]);
    const LensPlace place{axis, dot(fit.centre - PatientPoint{0, 0, 0}, axis) + first + step * (static_cast<double>(back) - 0.5) + 0.5 * thickness,
                          std::hypot(LensPlace::usual_spread_mm, 0.3 * voxel)};
    constexpr double believable = 4.0;  // standard uncertainties
    if (std::abs(place.off(fit.centre, fit.shape[0])) > believable) return std::nullopt;
    return place;
}

}  // namespace perisclera
