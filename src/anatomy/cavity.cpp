// SPDX-License-Identifier: Apache-2.0
#include "perisclera/anatomy/cavity.h"

#include <algorithm>
#include <cmath>

#include "cavity_level.h"
#include "perisclera/anatomy/directions.h"
#include "perisclera/core/quantile.h"
#include "perisclera/physics/intraocular_fluids.h"
#include "soft_tissue.h"

namespace perisclera {

namespace {

/// How far below its middle the cavity ends: where the lower fluid's signal does, about the lowest point.
double lowest_depth(const VoxelGrid& grid, Modality modality, const CavitySamples& samples, PatientVector down, double lower, double least_step) {
    constexpr double near_cosine = 0.95, step = 0.1, reach_mm = 2.5;
    const double departure = modality == Modality::ct ? departure_hu : least_step;
    std::vector<double> ends;
    for (const PatientVector& d : even_directions<PatientLps>(500)) {
        if (dot(d, down) < near_cosine) continue;
        double r = samples.radius_down - reach_mm;
        while (r < samples.radius_down + reach_mm && std::abs(clipped(static_cast<double>(grid.sample(samples.middle + d * r)), modality) - clipped(lower, modality)) < departure) r += step;
        ends.push_back(r);
    }
    return quantile(std::move(ends), 0.5);
}

/// Share of the cavity above a level. A millimetre of level, and of where the cavity ends in front, is some 7 % of it each.
Measured<Fraction> share_above(const CavitySamples& samples, double depth, double depth_doubt_mm) {
    constexpr double front_doubt_mm = 1.0;   // of the lens' back behind the globe's front, by eye and age (common practice, no source)
    const auto share = [&](const auto& counts) { return static_cast<double>(std::count_if(samples.whole.begin(), samples.whole.end(), counts)) / static_cast<double>(samples.whole.size()); };
    const double above = share([&](const CavitySample& s) { return s.depth < depth; });
    const double by_level = 0.5 * share([&](const CavitySample& s) { return std::abs(s.depth - depth) < depth_doubt_mm; });
    const auto in_front = [&](const CavitySample& s) { return s.behind_front < front_doubt_mm; };
    const double by_front = share([&](const CavitySample& s) { return in_front(s) && s.depth < depth; }) - above * share(in_front);
    const double doubt = 1.96 * std::hypot(by_level, by_front);
    return {Fraction(above), Fraction(std::max(0.0, above - doubt)), Fraction(std::min(1.0, above + doubt))};
}

LayeredCavity layered(const VoxelGrid& grid, Modality modality, const Globe& globe, const CavitySamples& samples, PatientVector down, const SeenLevel& level, double least_step) {
    // On MR oil is displaced along the frequency direction, by a pixel or two.
    const double displaced_mm = modality == Modality::mr ? 1.0 : 0.0, lowest_point_mm = 0.5;
    const double doubt = std::hypot(0.3 * samples.blur_mm, displaced_mm, std::hypot(lowest_point_mm, globe.radius_uncertainty.value()));
    const double height = lowest_depth(grid, modality, samples, down, level.below.middle, least_step) - level.depth;
    return {{level.above.middle, level.above.spread}, {level.below.middle, level.below.spread}, share_above(samples, level.depth, doubt),
            Measured<Mm>::from_standard_uncertainty(Mm(height), Mm(doubt)), {samples.middle + down * level.depth, down}};
}

/// Gas is told by single voxels on CT, also where its bubble lies beside the lens and is too small for a plane to be seen. It fills the cavity from above.
std::optional<SeenLevel> bubble(const CavitySamples& samples) {
    constexpr double least_share = 0.01, stray = 0.1;
    std::vector<double> gas, rest;
    for (const CavitySample& s : samples.whole) (gas_hu().holds(s.value) ? gas : rest).push_back(s.value);
    const double share = static_cast<double>(gas.size()) / static_cast<double>(samples.whole.size());
    if (share < least_share || rest.empty()) return std::nullopt;
    const double depth = samples.whole[gas.size()].depth;
    const auto strays = std::count_if(samples.whole.begin(), samples.whole.end(), [&](const CavitySample& s) { return gas_hu().holds(s.value) && s.depth > depth + samples.step_mm + samples.blur_mm; });
    if (static_cast<double>(strays) > stray * static_cast<double>(gas.size())) return std::nullopt;
    std::vector<double> below;
    for (const CavitySample& s : samples.clear)
        if (s.depth > depth + samples.step_mm + samples.blur_mm) below.push_back(s.value);
    if (below.empty()) return std::nullopt;
    return SeenLevel{depth, median_of(std::move(gas)), median_of(std::move(below))};
}

}  // namespace

std::optional<CavityReading> read_cavity(const VoxelGrid& grid, Modality modality, const Globe& globe, PatientVector down, double least_step) {
    constexpr std::size_t fewest_samples = 200;
    const CavitySamples samples = sample_cavity(grid, modality, globe, down, least_step);
    if (samples.clear.size() < fewest_samples) return std::nullopt;
    const std::vector<Layer> layers = layers_of(samples.clear);
    if (const auto level = find_level(samples, layers, least_step)) return layered(grid, modality, globe, samples, down, *level, least_step);

    std::vector<double> all, by_layer;
    for (const CavitySample& s : samples.clear) all.push_back(s.value);
    for (const Layer& l : layers) by_layer.push_back(l.value);
    const Median whole = median_of(all);
    if (modality == Modality::ct && !gas_hu().holds(whole.middle))
        if (const auto level = bubble(samples)) return layered(grid, modality, globe, samples, down, *level, least_step);
    const double low = quantile(by_layer, 0.1), high = quantile(by_layer, 0.9);
    if (high - low <= least_step) return EvenCavity{{whole.middle, whole.spread}};
    const double alike = std::max(least_step, 3.0 * whole.spread);
    const auto main = std::count_if(all.begin(), all.end(), [&](double v) { return std::abs(v - whole.middle) < alike; });
    return UnevenCavity{{whole.middle, whole.spread}, static_cast<double>(main) / static_cast<double>(all.size()), low, high};
}

}  // namespace perisclera
