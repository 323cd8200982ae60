// SPDX-License-Identifier: Apache-2.0
#include "wall_rays.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "perisclera/anatomy/directions.h"
#include "perisclera/core/quantile.h"
#include "voxel_length.h"

namespace perisclera {

namespace {

constexpr double step = WallRay::step_mm;
// The vitreous ends on retina only behind the ora serrata, 60 degrees from the axis (textbook).
constexpr double front_cosine = 0.5;

/// On CT: what may be beyond the wall without hiding or denting it, fat and soft tissue.
struct UsualHu {
    double least, most;
    UsualHu(double contents, double noise) {
        constexpr double fat = -110.0, muscle = 60.0, contents_differ = 30.0, fat_differs = 90.0, muscle_differs = 30.0, times_noise = 3.0;   // from memory; the last: assumed
        least = std::min(fat, contents + contents_differ) - std::max(fat_differs, times_noise * noise);
        most = std::max(muscle, contents + contents_differ) + std::max(muscle_differs, times_noise * noise);
    }
    [[nodiscard]] bool holds(double hu) const { return least <= hu && hu <= most; }
};

/// On CT: rays near which bone or air lies close to the globe, whose blur hides the wall, or an explant, which dents it farther round than it reaches itself. What lies
/// on the globe has tissue beyond it.
void tell_disturbed(std::vector<WallRay>& rays, double noise) {
    const double near = std::cos(16.0 * std::numbers::pi / 180.0);   // 3.4 mm on the sclera: assumed
    constexpr double from_mm = 0.5, to_mm = 2.5, tissue_mm = 1.0;
    struct Strange {
        PatientVector direction;
        bool on_globe;
    };
    std::vector<Strange> all;
    for (const WallRay& ray : rays) {
        const UsualHu usual(ray.signal[WallRay::inwards / 2], noise);
        const auto beyond = ray.signal.begin() + WallRay::inwards;
        const auto last = std::min(WallRay::outwards, static_cast<int>((to_mm + ray.voxel_mm) / step));
        const auto first = std::find_if_not(beyond + static_cast<int>(from_mm / step), beyond + last + 1, [&](double hu) { return usual.holds(hu); });
        if (first == beyond + last + 1) continue;
        const auto tissue = std::search_n(first, ray.signal.end(), static_cast<int>(tissue_mm / step), true, [&](double hu, bool) { return usual.holds(hu); });
        all.push_back({ray.direction, tissue != ray.signal.end()});
    }
    for (WallRay& ray : rays)
        for (const Strange& s : all)
            if (dot(s.direction, ray.direction) > near) ray.hidden = true, ray.dented = ray.dented || s.on_globe;
}

}  // namespace

std::vector<WallRay> wall_rays(const VoxelGrid& grid, Modality modality, PatientPoint centre, const SmoothRadius& outer, PatientVector anterior, double least_noise) {
    const auto& g = grid.geometry();
    const bool ct = modality == Modality::ct;
    // Of the contents' own signal; of what the ray spans: assumed. CT numbers have no natural zero, and their contents are even.
    const double of_contents = ct ? 0.0 : 0.04, of_span = ct ? 0.05 : 0.08;
    constexpr double bone_hu = 150.0, kept_mm = 2.0;
    std::vector<WallRay> rays;
    for (const PatientVector& d : even_directions<PatientLps>(500)) {
        const double surface = outer.at(d);
        if (dot(d, anterior) > front_cosine || !g.contains(centre + d * (surface + kept_mm))) continue;
        const double voxel = voxel_length_mm(g, d);
        WallRay ray{d, surface, wall_at_equator_mm - uvea_mm + wall_thickening_mm(dot(d, anterior)), voxel, 0.0, 0.0, 0.0, false, false, {}};
        for (int k = 0; k < WallRay::count; ++k) {
            const auto v = static_cast<double>(grid.sample(centre + d * (surface + (k - WallRay::inwards) * step)));
            ray.signal[static_cast<std::size_t>(k)] = ct ? std::min(v, bone_hu) : v;   // of bone only that it is there
        }
        const auto [low, high] = std::minmax_element(ray.signal.begin(), ray.signal.end());
        ray.span = *high - *low;
        ray.uneven_beyond = of_span * ray.span;
        rays.push_back(ray);
    }
    if (rays.empty()) return rays;
    // Contents need not be the same all through, but few rays cross from one to the other.
    std::vector<double> spreads;
    for (const WallRay& ray : rays) {
        constexpr int well_within = WallRay::inwards / 2;
        double sum = 0.0, squares = 0.0;
        for (int k = 0; k < well_within; ++k) {
            const double v = ray.signal[static_cast<std::size_t>(k)];
            sum += v, squares += v * v;
        }
        spreads.push_back(std::sqrt(std::max(0.0, squares / well_within - sum * sum / (well_within * well_within))));
    }
    const double noise = std::max(least_noise, quantile(std::move(spreads), 0.5));
    if (ct) tell_disturbed(rays, noise);
    for (WallRay& ray : rays) ray.uneven_contents = std::hypot(noise, of_contents * ray.signal[WallRay::inwards / 2]);
    return rays;
}

}  // namespace perisclera
