// SPDX-License-Identifier: Apache-2.0
#include "front_samples.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "perisclera/anatomy/directions.h"
#include "perisclera/core/quantile.h"
#include "voxel_length.h"

namespace perisclera {

namespace {

constexpr double farthest_deg = 65.0, radians = std::numbers::pi / 180.0;
constexpr double err_together = 8.0;   // samples, in what no such model explains: assumed

}  // namespace

FrontSamples front_samples(const VoxelGrid& grid, Modality modality, const GlobeFit& fit, PatientVector axis, int directions) {
    FrontSamples seen;
    constexpr double first_mm = 4.0, step_mm = 0.6, beyond_mm = 1.8, cornea_stands_out_mm = 1.3, under_cornea = 0.85, of_mixed = 0.1;   // cosine; weight of what two fluids share
    constexpr double least_hu = -50.0, most_hu = 120.0;   // of air and bone only that they are there
    const double front = std::cos(farthest_deg * radians), radius = fit.radius_mm();
    const auto& g = grid.geometry();
    const double voxel = g.spacing_mm()[0] * g.spacing_mm()[1] * g.spacing_mm()[2];
    constexpr double voxel_share = 0.12, series_blur_mm = 0.4;   // as WallCourse has; the latter assumed
    const std::vector<PatientVector> rays = even_directions<PatientLps>(directions);
    const double solid = 4.0 * std::numbers::pi / static_cast<double>(rays.size());
    std::size_t direction = 0;
    for (const PatientVector& d : rays) {
        if (dot(d, axis) < front) continue;
        const double along = voxel_length_mm(g, d), blur = std::sqrt(series_blur_mm * series_blur_mm + voxel_share * along * along), globe = fit.outer.at(d);
        const double last = std::max(globe, dot(d, axis) > under_cornea ? radius + cornea_stands_out_mm : 0.0) + beyond_mm;
        for (double r = first_mm; r < last; r += step_mm) {
            ++seen.asked;
            const PatientPoint p = fit.centre + d * r;
            if (!g.contains(p, 0.5)) continue;
            const double raw = static_cast<double>(grid.sample(p)), v = modality == Modality::ct ? std::clamp(raw, least_hu, most_hu) : raw;
            const double independent = std::min(1.0, solid * r * r * step_mm / std::max(voxel, 1.0));
            const bool second = fit.fluids && fit.fluids->level.depth_of(p) > 0.0;
            const bool mixed = fit.fluids && std::abs(fit.fluids->level.depth_of(p)) < LayeredFluids::level_blur_mm;
            seen.all.push_back({d * r, globe, v, (mixed ? of_mixed * independent : independent) / err_together, blur, direction, second});
        }
        ++direction;
    }
    seen.directions = direction;
    seen.two_fluids = fit.fluids.has_value();
    seen.axial_blur_mm = std::sqrt(series_blur_mm * series_blur_mm + voxel_share * std::pow(voxel_length_mm(g, axis), 2));
    std::vector<double> all, within;
    constexpr double well_within_mm = 1.5;
    for (const FrontSample& s : seen.all) {
        all.push_back(s.value);
        if (length(s.at) < s.globe_mm - well_within_mm) within.push_back(s.value);
    }
    if (within.empty()) return seen;
    seen.span = quantile(within, 0.97) - quantile(within, 0.03);
    // Parts are not of one signal throughout, least of all what lies before the eye: shares of what they span, assumed.
    constexpr double uneven_within = 0.07, uneven_before = 0.2, least = 0.02;
    const double span_of_all = quantile(all, 0.95) - quantile(all, 0.05);
    seen.uneven = std::max({std::hypot(uneven_within * seen.span, fit.interior_spread), least * span_of_all, 1e-9});
    seen.uneven_before = uneven_before * span_of_all;
    return seen;
}

}  // namespace perisclera
