// SPDX-License-Identifier: Apache-2.0
#include "orbital_wall.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "perisclera/segmentation/voxel_pieces.h"

namespace perisclera {

namespace {

constexpr double step_mm = 0.25;
/// No soft tissue of the orbit is as bright; a sinus is as dark (common practice, no source).
constexpr double bone_hu = 220.0, rise_hu = 150.0, sinus_hu = -450.0;

}  // namespace

OrbitalWall::OrbitalWall(const VoxelGrid& ct, PatientPoint about, const OutsideAir* air, std::function<bool(PatientPoint)> of_element)
    : ct_(&ct), air_(air), of_element_(std::move(of_element)) {
    constexpr double reach_mm = 45.0,
                     least_mm3 = 500.0;  // calcified rims are some tens of mm3, a wall of the orbit thousands (common practice, no source)
    const VolumeGeometry& geometry = ct.geometry();
    const VoxelPoint centre = geometry.to_voxel(about);
    const std::array<double, 3> at{centre.x, centre.y, centre.z}, spacing = geometry.spacing_mm();
    VoxelMask bright;
    for (std::size_t k = 0; k < 3; ++k) {
        const double reach = reach_mm / spacing[k];
        bright.first[k] = std::clamp(static_cast<int>(at[k] - reach), 0, geometry.size()[k] - 1);
        bright.size[k] = std::clamp(static_cast<int>(at[k] + reach), 0, geometry.size()[k] - 1) - bright.first[k] + 1;
    }
    const VoxelGrid near = ct.sub_block(bright.first, bright.size);
    bright.filled.resize(near.values().size());
    std::transform(near.values().begin(), near.values().end(), bright.filled.begin(),
                   [](float hu) { return static_cast<std::uint8_t>(static_cast<double>(hu) >= bone_hu); });
    bone_ = pieces_of_at_least(static_cast<std::size_t>(least_mm3 / geometry.voxel_volume_mm3()), bright);
}

bool OrbitalWall::is_bone(PatientPoint place) const {
    const VoxelPoint v = ct_->geometry().to_voxel(place);
    const std::array<int, 3> corner{static_cast<int>(std::floor(v.x)), static_cast<int>(std::floor(v.y)), static_cast<int>(std::floor(v.z))};
    for (int k = 0; k < 8; ++k)
        if (bone_.at(corner[0] + (k & 1), corner[1] + (k >> 1 & 1), corner[2] + (k >> 2))) return true;
    return false;
}

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
        if (*value >= bone_hu && *value >= darkest + rise_hu && !of_element_(place) && is_bone(place)) {
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
            if (air_ != nullptr && air_->is_outside(place + forwards)) return {End::too_far, far};
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
