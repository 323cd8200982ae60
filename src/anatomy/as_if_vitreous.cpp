// SPDX-License-Identifier: Apache-2.0
#include "perisclera/anatomy/as_if_vitreous.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "inner_face.h"
#include "perisclera/anatomy/directions.h"
#include "sphere_fit.h"

namespace perisclera {

namespace {

/// The one fluid of a globe, or both: what lies at a point by its depth.
struct Filling {
    double upper, lower;
    std::optional<FluidPlane> level;
    [[nodiscard]] bool is_above(PatientPoint p) const { return !level || level->depth_of(p) < 0.0; }
    [[nodiscard]] double at(PatientPoint p) const { return is_above(p) ? upper : lower; }
};

Filling filling_of(const CavityReading& cavity) {
    if (const auto* even = std::get_if<EvenCavity>(&cavity)) return {even->whole.value, even->whole.value, std::nullopt};
    if (const auto* uneven = std::get_if<UnevenCavity>(&cavity)) return {uneven->main.value, uneven->main.value, std::nullopt};
    const auto& layered = std::get<LayeredCavity>(cavity);
    return {layered.upper.value, layered.lower.value, layered.plane};
}

struct Wall {
    Ball ball;
    bool found;
};

/// Where rays from within leave their fluid half way to the wall's signal.
Wall wall_about(const VoxelGrid& grid, const Globe& globe, const Filling& filling, const WallSignals& signals) {
    constexpr double step_mm = 0.25, first_mm = 6.0, farthest_mm = 15.0, front_cosine = 0.5, near_mm = 1.5, level_mm = 1.5;
    constexpr std::size_t fewest = 100;
    Ball ball{globe.frame.origin(), inner_radius_mm(globe, globe.frame.towards_left())};
    for (int round = 0; round < 6; ++round) {
        std::vector<PatientPoint> ends;
        std::vector<double> weights;
        for (const PatientVector& d : even_directions<PatientLps>(400)) {
            if (dot(d, globe.frame.anterior()) > front_cosine) continue;
            for (double r = first_mm; r < farthest_mm; r += step_mm) {
                const PatientPoint p = ball.centre + d * r;
                if (!grid.geometry().contains(p)) break;
                if (filling.level && std::abs(filling.level->depth_of(p)) < level_mm) continue;
                const double fluid = filling.at(p), half = std::max(0.5 * std::abs(signals.wall - fluid), signals.alike);
                if (std::abs(static_cast<double>(grid.sample(p)) - fluid) < half) continue;
                const double off = (r - 0.5 * step_mm - ball.radius) / near_mm;
                ends.push_back(ball.centre + d * (r - 0.5 * step_mm));
                weights.push_back(1.0 / (1.0 + off * off * off * off));
                break;
            }
        }
        if (ends.size() < fewest) return {ball, false};
        ball = fit_sphere(ends, weights, ball);
        if (ball.radius < 8.5 || ball.radius > 14.5 || length(ball.centre - globe.frame.origin()) > 8.0) return {ball, false};
    }
    return {ball, true};
}

/// A block of voxels about a point.
VoxelGrid surroundings(const VoxelGrid& grid, PatientPoint centre) {
    constexpr double reach_mm = 36.0;  // a globe of 13 mm, elements of 13 mm on it, and room for the fit
    const auto size = grid.geometry().size();
    std::array<double, 3> low{1e9, 1e9, 1e9}, high{-1e9, -1e9, -1e9};
    for (int corner = 0; corner < 8; ++corner) {
        const VoxelPoint v = grid.geometry().to_voxel(centre + PatientVector{corner & 1 ? reach_mm : -reach_mm, corner & 2 ? reach_mm : -reach_mm, corner & 4 ? reach_mm : -reach_mm});
        const std::array<double, 3> at{v.x, v.y, v.z};
        for (std::size_t a = 0; a < 3; ++a) low[a] = std::min(low[a], at[a]), high[a] = std::max(high[a], at[a]);
    }
    std::array<int, 3> first{}, count{};
    for (std::size_t a = 0; a < 3; ++a) {
        first[a] = std::clamp(static_cast<int>(std::floor(low[a])), 0, size[a] - 1);
        count[a] = std::clamp(static_cast<int>(std::ceil(high[a])), first[a], size[a] - 1) - first[a] + 1;
    }
    return grid.sub_block(first, count);
}

/// Share of the fluid in a voxel that holds it and something else.
double share_of(double value, double fluid, double rest, double alike) {
    if (std::abs(value - fluid) < alike) return 1.0;
    // Beyond the fluid's own signal lies something else again.
    if ((value > fluid) == (fluid > rest)) return 0.0;
    return std::clamp((value - rest) / (fluid - rest), 0.0, 1.0);
}

}  // namespace

std::optional<AsIfVitreous> as_if_vitreous(const VoxelGrid& grid, const Globe& globe, const CavityReading& cavity, const WallSignals& signals) {
    const Filling filling = filling_of(cavity);
    const auto is_vitreous = [&](double fluid) { return std::abs(fluid - signals.vitreous) < signals.alike; };
    if (is_vitreous(filling.upper) && is_vitreous(filling.lower)) return std::nullopt;
    // One fluid that looks like the wall has no edge to be found by: fat about the wall told where the globe lies.
    const bool has_edge = filling.level || std::abs(filling.upper - signals.wall) > 2.0 * signals.alike;
    const Wall wall = has_edge ? wall_about(grid, globe, filling, signals) : Wall{{globe.frame.origin(), 0.0}, false};
    if (has_edge && !wall.found) return std::nullopt;
    const PatientPoint centre = wall.ball.centre;
    const VoxelGrid block = surroundings(grid, centre);
    std::vector<float> values = block.values();
    const auto& g = block.geometry();
    const auto size = g.size();
    // Within the wall fluid meets fluid or what floats in it, across the wall fluid meets wall.
    constexpr double wall_within_mm = 1.2, wall_beyond_mm = 0.8, farthest_mm = 20.0;
    for (int z = 0; z < size[2]; ++z)
        for (int y = 0; y < size[1]; ++y)
            for (int x = 0; x < size[0]; ++x) {
                const PatientPoint p = g.to_patient({static_cast<double>(x), static_cast<double>(y), static_cast<double>(z)});
                const double r = length(p - centre);
                if (r > farthest_mm || r == 0.0) continue;
                const double radius = wall.found ? wall.ball.radius : inner_radius_mm(globe, (p - centre) / r);
                if (r > radius + wall_beyond_mm) continue;
                const double fluid = filling.at(p);
                if (is_vitreous(fluid)) continue;
                float& value = values[block.offset(x, y, z)];
                const bool at_wall = r > radius - wall_within_mm;
                const double rest = at_wall ? signals.wall : signals.vitreous;
                // Where fluid and wall look alike the sphere alone tells.
                const double share = std::abs(fluid - rest) > 2.0 * signals.alike ? share_of(static_cast<double>(value), fluid, rest, signals.alike) : r < radius ? 1.0 : 0.0;
                value += static_cast<float>(share * (signals.vitreous - fluid));
            }
    AsIfVitreous out{VoxelGrid(g, std::move(values))};
    if (wall.found) out.place = GlobeCandidate{wall.ball.centre, Mm(wall.ball.radius), signals.vitreous, 0.0, 1.0};
    return out;
}

}  // namespace perisclera
