// SPDX-License-Identifier: Apache-2.0
#include "wall_edges.h"

#include <algorithm>
#include <cmath>

#include "wall_look.h"

namespace perisclera {

namespace {

/// Of the outer face at each place: negative logarithm of the likelihood.
std::vector<double> costs(const WallRay& ray, const WallLook& look, Modality modality, bool fine) {
    const WallCourse course(ray, look);
    // What a sample may be of which a place says nothing, as a share of what the ray spans: assumed. On CT what surrounds the globe spans so much more than its wall does
    // that a large share would reward places at which muscle is taken for contents.
    const double anything = modality == Modality::ct ? 0.3 : 0.5, unsaid = std::log(std::hypot(ray.uneven_contents, anything * ray.span)) + 0.5;
    const double independent = WallRay::step_mm / std::max(WallRay::step_mm, ray.voxel_mm);
    std::vector<double> cost;
    for (int place = -WallCourse::reach; place <= WallCourse::reach; ++place) {
        const auto of = [&](const WallMisfit& misfit) {
            return independent * (0.5 * misfit.at(look.uvea, look.sclera) + misfit.doubt + (WallRay::count - misfit.samples) * unsaid);
        };
        // What lies beyond may be even for a while or not. On CT, where the wall stands out by itself, as thin a layer of other tissue as the wall may lie before fat; on MR so
        // short a piece could be anything. Logarithms of how much less often than what is usual: assumed; a layer is of some thickness and signal.
        constexpr double even_mm = 2.5, thin_mm = 0.25, seldom = 1.0, layer_seldom = 3.0;
        const bool ct = modality == Modality::ct;
        double best = of(course.misfit(place));
        if (ct || fine) best = std::min(best, seldom + of(course.misfit(place, ct ? thin_mm : even_mm)));
        for (std::size_t layer = ct ? 0 : 1; fine && layer < WallCourse::layers_mm.size(); ++layer) best = std::min(best, layer_seldom + of(course.misfit_with_layer(place, layer)));
        cost.push_back(best);
    }
    return cost;
}

/// Where the wall would lie undented, if it lies as told: as far out or farther, by as much as explants indent, all alike.
std::vector<double> undented(const std::vector<double>& probability) {
    constexpr double deepest_mm = 1.5;   // common practice, no source
    constexpr std::size_t deepest = static_cast<std::size_t>(deepest_mm / WallEdge::step_mm);
    std::vector<double> out(probability.size(), 0.0);
    for (std::size_t i = 0; i < out.size(); ++i)
        for (std::size_t k = 0; k <= std::min(i, deepest); ++k) out[i] += probability[i - k] / static_cast<double>(deepest + 1);
    return out;
}

}  // namespace

bool shows_fine_walls(const VoxelGrid& grid) {
    constexpr double longest_mm = 3.5;
    const auto spacing = grid.geometry().spacing_mm();
    return *std::max_element(spacing.begin(), spacing.end()) <= longest_mm;
}

std::vector<WallEdge> wall_edges(const VoxelGrid& grid, Modality modality, PatientPoint centre, const SmoothRadius& outer, PatientVector anterior, double least_noise) {
    static_assert(WallEdge::step_mm == WallRay::step_mm);
    const std::vector<WallRay> rays = wall_rays(grid, modality, centre, outer, anterior, least_noise);
    std::vector<WallEdge> edges;
    if (rays.empty()) return edges;
    const WallLook look = wall_look(rays, modality);
    const bool fine = shows_fine_walls(grid);
    for (const WallRay& ray : rays) {
        const std::vector<double> cost = costs(ray, look, modality, fine);
        const double cheapest = *std::min_element(cost.begin(), cost.end());
        WallEdge edge{ray.direction, ray.hidden, ray.surface_mm - WallCourse::reach * WallRay::step_mm, {}};
        double sum = 0.0;
        for (const double c : cost) edge.probability.push_back(std::exp(cheapest - c)), sum += edge.probability.back();
        for (double& p : edge.probability) p /= sum;
        if (ray.dented) edge.probability = undented(edge.probability);
        edges.push_back(std::move(edge));
    }
    return edges;
}

}  // namespace perisclera
