// SPDX-License-Identifier: Apache-2.0
#include "series_look.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <vector>

#include "least_squares.h"
#include "mr_tissue.h"

namespace perisclera::phantoms {

namespace {

struct Residual {
    int x, y;
    double value;
};

/// Pixels of one slice within the ball, a second-order surface taken away.
std::vector<Residual> residuals(const VoxelGrid& g, PatientPoint centre, double ball_mm, int z) {
    std::vector<Residual> all;
    const VoxelPoint middle = g.geometry().to_voxel(centre);
    const auto [columns, rows, slices] = g.geometry().size();
    const auto spacing = g.geometry().spacing_mm();
    const int wide = static_cast<int>(std::ceil(ball_mm / spacing[0])), high = static_cast<int>(std::ceil(ball_mm / spacing[1]));
    const int cx = static_cast<int>(std::lround(middle.x)), cy = static_cast<int>(std::lround(middle.y));
    const auto row_of = [&](int x, int y) {
        const double u = static_cast<double>(x - cx) / wide, v = static_cast<double>(y - cy) / high;
        return Numbers<6>{1.0, u, v, u * u, u * v, v * v};
    };
    Square<6> m{};
    Numbers<6> v{};
    for (int y = std::max(0, cy - high); y <= std::min(rows - 1, cy + high); ++y)
        for (int x = std::max(0, cx - wide); x <= std::min(columns - 1, cx + wide); ++x) {
            if (length(g.geometry().to_patient({static_cast<double>(x), static_cast<double>(y), static_cast<double>(z)}) - centre) > ball_mm) continue;
            all.push_back({x, y, static_cast<double>(g.at(x, y, z))});
            add_row(m, v, row_of(x, y), all.back().value);
        }
    const auto surface = solved(m, v);
    if (all.size() < 30 || !surface) return {};
    for (Residual& r : all) {
        const Numbers<6> row = row_of(r.x, r.y);
        for (std::size_t i = 0; i < 6; ++i) r.value -= (*surface)[i] * row[i];
    }
    return all;
}

}  // namespace

std::optional<NoiseTexture> measured_noise(const VoxelGrid& grid, std::span<const PatientPoint> centres, double ball_mm) {
    constexpr int reach = 3, outer = 5;
    constexpr std::size_t side = 2 * outer + 1;
    std::array<double, side * side> sums{}, counts{};
    const auto lag = [](int dx, int dy) { return static_cast<std::size_t>(dy + outer) * side + static_cast<std::size_t>(dx + outer); };
    const int slices = grid.geometry().size()[2];
    for (const PatientPoint& centre : centres)
        for (int z = 0; z < slices; ++z) {
            const std::vector<Residual> slice = residuals(grid, centre, ball_mm, z);
            for (const Residual& a : slice)
                for (const Residual& b : slice) {
                    const int dx = b.x - a.x, dy = b.y - a.y;
                    if (std::abs(dx) <= outer && std::abs(dy) <= outer) sums[lag(dx, dy)] += a.value * b.value, counts[lag(dx, dy)] += 1.0;
                }
        }
    if (counts[lag(0, 0)] < 150.0) return std::nullopt;
    // The surface has taken some noise with it, and so every covariance is less by about as much as those farther off, which should be nothing, are below it.
    double far_sum = 0.0, far_count = 0.0;
    for (int dy = -outer; dy <= outer; ++dy)
        for (int dx = -outer; dx <= outer; ++dx)
            if (std::max(std::abs(dx), std::abs(dy)) > reach) far_sum += sums[lag(dx, dy)], far_count += counts[lag(dx, dy)];
    const double taken = far_count > 0.0 ? -far_sum / far_count : 0.0;
    const auto covariance = [&](int dx, int dy) { return counts[lag(dx, dy)] > 0.0 ? sums[lag(dx, dy)] / counts[lag(dx, dy)] + taken : 0.0; };
    const double variance = covariance(0, 0);
    if (variance <= 0.0) return NoiseTexture{};
    NoiseTexture texture{std::sqrt(variance), reach, {}};
    for (int dy = -reach; dy <= reach; ++dy)
        for (int dx = -reach; dx <= reach; ++dx) texture.correlation.push_back(covariance(dx, dy) / variance);
    return texture;
}

ReferenceLevels reference_levels(const VoxelGrid& grid, const RealGlobe& globe) {
    std::vector<double> vitreous, fat;
    const double half = globe.radius_mm + 7.0;
    constexpr double step = 0.7;
    for (double x = -half; x <= half; x += step)
        for (double y = -half; y <= half; y += step)
            for (double z = -half; z <= half; z += step) {
                const PatientVector d{x, y, z};
                const double r = length(d);
                if (!grid.geometry().contains(globe.centre + d)) continue;
                const auto value = static_cast<double>(grid.sample(globe.centre + d));
                if (r < 0.5 * globe.radius_mm) vitreous.push_back(value);
                // From 25 to 55 degrees off the back: outside the nerve and its sheath, between the recti.
                const double back = -dot(d, globe.anterior) / r;
                if (r > globe.radius_mm + 2.0 && r < half && back < std::cos(25.0 * pi / 180.0) && back > std::cos(55.0 * pi / 180.0)) fat.push_back(value);
            }
    return {median(std::move(vitreous)), median(std::move(fat))};
}

double element_level(const Element& element, const MrSetting& setting, const ReferenceLevels& levels) {
    const double vitreous = std::abs(mr_look(Tissue::vitreous, setting).signal), fat = setting.fat_saturated ? 0.0 : std::abs(mr_look(Tissue::fat, setting).signal);
    return std::abs(mr_look(element, setting).signal) * (vitreous * levels.vitreous + fat * levels.fat) / (vitreous * vitreous + fat * fat);
}

}  // namespace perisclera::phantoms
