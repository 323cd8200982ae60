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

OrbitalWall::OrbitalWall(const VoxelGrid& ct, PatientPoint about, const OutsideAir* air, std::function<bool(PatientPoint)> of_element)
    : ct_(&ct), air_(air), of_element_(std::move(of_element)) {
    constexpr double reach_mm = 45.0,
                     least_mm3 = 500.0;  // calcified rims are some tens of mm3, a wall of the orbit thousands (common practice, no source)
    const VolumeGeometry& geometry = ct.geometry();
    const VoxelPoint centre = geometry.to_voxel(about);
    const std::array<double, 3> at{centre.x, centre.y, centre.z}, spacing = geometry.spacing_mm();
    std::size_t count = 1;
    for (std::size_t k = 0; k < 3; ++k) {
        const double reach = reach_mm / spacing[k];
        first_[k] = std::clamp(static_cast<int>(at[k] - reach), 0, geometry.size()[k] - 1);
        size_[k] = std::clamp(static_cast<int>(at[k] + reach), 0, geometry.size()[k] - 1) - first_[k] + 1;
        count *= static_cast<std::size_t>(size_[k]);
    }
    enum : char { dark, bright, piece, large };
    bone_.assign(count, dark);
    const auto index = [&](int x, int y, int z) {
        return (static_cast<std::size_t>(z) * static_cast<std::size_t>(size_[1]) + static_cast<std::size_t>(y)) * static_cast<std::size_t>(size_[0]) +
               static_cast<std::size_t>(x);
    };
    for (int z = 0; z < size_[2]; ++z)
        for (int y = 0; y < size_[1]; ++y)
            for (int x = 0; x < size_[0]; ++x)
                if (static_cast<double>(ct.at(first_[0] + x, first_[1] + y, first_[2] + z)) >= bone_hu) bone_[index(x, y, z)] = bright;
    std::vector<std::array<int, 3>> found;
    for (int z = 0; z < size_[2]; ++z)
        for (int y = 0; y < size_[1]; ++y)
            for (int x = 0; x < size_[0]; ++x) {
                if (bone_[index(x, y, z)] != bright) continue;
                found.assign(1, {x, y, z});
                bone_[index(x, y, z)] = piece;
                for (std::size_t k = 0; k < found.size(); ++k)
                    for (std::size_t axis = 0; axis < 3; ++axis)
                        for (const int side : {-1, 1}) {
                            std::array<int, 3> beside = found[k];
                            beside[axis] += side;
                            if (beside[axis] < 0 || beside[axis] >= size_[axis]) continue;
                            char& voxel = bone_[index(beside[0], beside[1], beside[2])];
                            if (voxel != bright) continue;
                            voxel = piece;
                            found.push_back(beside);
                        }
                const bool is_large = static_cast<double>(found.size()) * geometry.voxel_volume_mm3() >= least_mm3;
                for (const std::array<int, 3>& v : found) bone_[index(v[0], v[1], v[2])] = is_large ? large : dark;
            }
}

bool OrbitalWall::is_bone(PatientPoint place) const {
    const VoxelPoint v = ct_->geometry().to_voxel(place);
    const std::array<int, 3> corner{static_cast<int>(std::floor(v.x)) - first_[0], static_cast<int>(std::floor(v.y)) - first_[1],
                                    static_cast<int>(std::floor(v.z)) - first_[2]};
    for (int k = 0; k < 8; ++k) {
        const std::array<int, 3> at{corner[0] + (k & 1), corner[1] + (k >> 1 & 1), corner[2] + (k >> 2)};
        if (at[0] < 0 || at[1] < 0 || at[2] < 0 || at[0] >= size_[0] || at[1] >= size_[1] || at[2] >= size_[2]) continue;
        if (bone_[(static_cast<std::size_t>(at[2]) * static_cast<std::size_t>(size_[1]) + static_cast<std::size_t>(at[1])) *
                      static_cast<std::size_t>(size_[0]) +
                  static_cast<std::size_t>(at[0])])
            return true;
    }
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
