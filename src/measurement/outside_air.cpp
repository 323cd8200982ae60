// SPDX-License-Identifier: Apache-2.0
#include "outside_air.h"

#include <algorithm>
#include <limits>
#include <vector>

#include "perisclera/core/quantile.h"
#include "perisclera/core/text.h"

namespace perisclera {

namespace {

constexpr double step_mm = 0.25;

}  // namespace

std::optional<double> OutsideAir::at(PatientPoint p) const {
    if (!grid_->geometry().contains(p)) return std::nullopt;
    return static_cast<double>(grid_->sample(p));
}

bool OutsideAir::is_air(PatientPoint p) const {
    const auto value = at(p);
    return value && *value < level_;
}

std::variant<OutsideAir, Unmeasured> OutsideAir::of(const VoxelGrid& grid, Modality modality, const PolarBlock& block) {
    // Air begins some 5 mm before the cornea (lids; common practice, no source); the nose may fill the inner side of what is sampled.
    constexpr double first_mm = 8.0, last_mm = 24.0, beside_mm = 14.0, between_mm = 2.0;
    constexpr std::size_t fewest = 60;
    std::vector<double> before;
    for (double x = -beside_mm; x <= beside_mm; x += between_mm)
        for (double z = -beside_mm; z <= beside_mm; z += between_mm)
            for (double forward = first_mm; forward <= last_mm; forward += between_mm) {
                const PatientPoint p = block.globe().frame.origin() + PatientVector{x, 0.0, z} + forwards * (block.equatorial_radius_mm() + forward);
                if (grid.geometry().contains(p)) before.push_back(static_cast<double>(grid.sample(p)));
            }
    if (before.size() < fewest) return Unmeasured{say("reason.surface_not_imaged")};
    const double air = quantile(before, 0.4), noise = 0.5 * (quantile(before, 0.6) - quantile(before, 0.1));
    if (modality == Modality::ct) {
        constexpr double half_way_hu = -500.0, surely_air_hu = -850.0, brightest_hu = 60.0;
        if (air > surely_air_hu) return Unmeasured{say("reason.surface_not_imaged")};
        return OutsideAir(grid, air, half_way_hu, brightest_hu);
    }
    // Skin is darker than fat; what is well above the noise is tissue.
    constexpr double of_tissue = 0.25, times_noise = 4.0;
    const double tissue = block.orbit_signal(0.5), level = air + of_tissue * (tissue - air);
    if (!(tissue > air) || level < air + times_noise * noise) return Unmeasured{say("reason.background_not_separable")};
    return OutsideAir(grid, air, level, std::numeric_limits<double>::max());
}

bool OutsideAir::is_outside(PatientPoint place) const {
    // The side of the nose may be hidden straight from before.
    constexpr double aside = 0.6;
    return is_free(place, forwards) || is_free(place, unit(forwards + PatientVector{aside, 0.0, 0.0})) ||
           is_free(place, unit(forwards - PatientVector{aside, 0.0, 0.0}));
}

bool OutsideAir::is_free(PatientPoint place, PatientVector ahead) const {
    constexpr double least_imaged_mm = 2.0, every_mm = 0.5;
    if (!is_air(place)) return false;
    bool before = false;  // noise of the background stands alone, tissue goes on
    for (double far = every_mm;; far += every_mm) {
        const auto value = at(place + ahead * far);
        if (!value) return far > least_imaged_mm;
        const bool above = *value >= level_;
        if (above && before) return false;
        before = above;
    }
}

OutsideAir::Way OutsideAir::to_surface(PatientPoint from, PatientVector along, double farthest_mm) const {
    constexpr double thinnest_air_mm = 1.0;
    constexpr int nearest = 3, deepest = 8;  // steps behind the edge: 0.75 to 2 mm, where tissue shows its own signal
    std::vector<double> line;
    for (double far = 0.0; far <= farthest_mm; far += step_mm) {
        const auto value = at(from + along * far);
        if (!value) return {End::images_end, far};
        line.push_back(*value);
        const bool enters = *value < level_ && (line.size() == 1 || line[line.size() - 2] >= level_);
        if (!enters || !is_air(from + along * (far + 0.5 * thinnest_air_mm)) || !is_outside(from + along * (far + thinnest_air_mm))) continue;
        // From half way to this edge's own tissue.
        double sum = 0.0;
        int count = 0;
        for (int back = nearest; back <= deepest; ++back) {
            const PatientPoint p = from + along * (far - back * step_mm);
            if (const auto behind = at(p)) sum += std::min(*behind, brightest_), ++count;
        }
        const double half_way = count > 0 ? 0.5 * (air_ + sum / count) : level_;
        double edge = far, here = *value;
        while (here < half_way && edge > far - 2.0) {
            const auto behind = at(from + along * (edge - step_mm));
            if (!behind) break;
            if (*behind >= half_way) return {End::surface, std::max(0.0, edge - step_mm * (half_way - here) / (*behind - here))};
            here = *behind, edge -= step_mm;
        }
        return {End::surface, std::max(0.0, edge)};
    }
    return {End::too_far, farthest_mm};
}

}  // namespace perisclera
