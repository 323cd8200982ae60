// SPDX-License-Identifier: Apache-2.0
#include "orbital_wall.h"

#include <algorithm>
#include <cmath>

namespace perisclera {

namespace {

constexpr double step_mm = 0.25;
/// No soft tissue of the orbit is as bright; a sinus is as dark (common practice, no source).
constexpr double bone_hu = 220.0, rise_hu = 150.0, sinus_hu = -450.0;

}  // namespace

OrbitalWall::Way OrbitalWall::to_wall(PatientPoint from, PatientVector along, double farthest_mm) const {
    constexpr double beyond_mm = 3.0, falls_by = 0.85;
    // Mucosa and a bone as thin as paper: 0.2 to 0.4 mm, common practice, no source.
    constexpr double thin_wall_mm = 0.7;
    const auto at = [&](double far) -> std::optional<double> {
        const PatientPoint p = from + along * far;
        if (!ct_->geometry().contains(p)) return std::nullopt;
        return static_cast<double>(ct_->sample(p));
    };
    double darkest = 1e9, before = 0.0;
    bool in_tissue = false;
    for (double far = 0.0; far <= farthest_mm; far += step_mm) {
        const auto value = at(far);
        if (!value) return {End::images_end, far};
        const PatientPoint place = from + along * far;
        if (*value >= bone_hu && *value >= darkest + rise_hu && !of_element_(place)) {
            double brightest = *value;
            for (double behind = far + step_mm; behind <= far + beyond_mm; behind += step_mm) {
                const auto deeper = at(behind);
                if (!deeper || *deeper < falls_by * brightest) break;
                brightest = std::max(brightest, *deeper);
            }
            const double half_way = 0.5 * (brightest + std::max(darkest, -120.0));
            double edge = far, here = *value;
            while (here < half_way) {
                const auto next = at(edge + step_mm);
                if (!next || edge > far + beyond_mm) break;
                if (*next >= half_way) return {End::bone, edge + step_mm * (half_way - here) / (*next - here)};
                here = *next, edge += step_mm;
            }
            while (edge > 0.0) {
                const double previous = at(edge - step_mm).value_or(here);
                if (previous < half_way) return {End::bone, std::max(0.0, edge - step_mm * (here - half_way) / (here - previous))};
                here = previous, edge -= step_mm;
            }
            return {End::bone, std::max(0.0, edge)};
        }
        if (*value < sinus_hu && in_tissue && !of_element_(place)) {
            if (air_ != nullptr && air_->is_outside(place + along)) return {End::too_far, far};
            const double edge = before > *value ? far - step_mm * (sinus_hu - *value) / (before - *value) : far;
            return {End::thin_wall, std::max(0.0, edge - thin_wall_mm)};
        }
        if (*value > -200.0) in_tissue = true;
        darkest = std::min(darkest, *value);
        before = *value;
    }
    return {End::too_far, farthest_mm};
}

}  // namespace perisclera
