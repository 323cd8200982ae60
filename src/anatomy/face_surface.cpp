// SPDX-License-Identifier: Apache-2.0
#include "face_surface.h"

#include <algorithm>

#include "perisclera/anatomy/directions.h"
#include "perisclera/core/quantile.h"
#include "soft_tissue.h"

namespace perisclera {

namespace {

/// Below this lies air; on MR also what gives no signal: a share of what the brightest tissues show.
double tissue_level(const CoarseBlock& block, Modality modality) {
    constexpr double just_above_clipped_air_hu = 5.0, share_of_brightest = 0.12;
    return modality == Modality::ct ? darkest_hu + just_above_clipped_air_hu : share_of_brightest * block.share_below(0.97);
}

}  // namespace

FaceSurface::FaceSurface(const CoarseBlock& block, Modality modality) : block_(&block) {
    constexpr std::size_t fewest_of_air = 20;
    constexpr int fewest_nodes_of_air = 2;   // before the skin, so that the images' edge is not taken for it
    const double level = tissue_level(block, modality);
    std::vector<double> air;
    for (int z = 0; z < block.n[2]; ++z)
        for (int x = 0; x < block.n[0]; ++x) {
            int first = 0;
            while (first < block.n[1] && !block.imaged[block.at(x, first, z)]) ++first;
            int y = first;
            while (y < block.n[1] && block.imaged[block.at(x, y, z)] && static_cast<double>(block.value[block.at(x, y, z)]) < level) ++y;
            if (y - first < fewest_nodes_of_air || y == block.n[1] || !block.imaged[block.at(x, y, z)]) continue;
            skin_.push_back(block.position(x, y, z) - PatientVector{0.0, 0.5 * CoarseBlock::step_mm, 0.0});
            for (int before = first; before + 1 < y; ++before) air.push_back(static_cast<double>(block.value[block.at(x, before, z)]));
        }
    if (air.size() >= fewest_of_air) air_ = quantile(std::move(air), 0.5);
}

std::optional<double> FaceSurface::depth_of(PatientPoint point) const {
    // A handful of places that stand out count for nothing.
    constexpr std::size_t fewest = 150, standing_out = 5;
    constexpr double deepest_mm = 17.0;   // of a globe's centre
    if (skin_.size() < fewest) return std::nullopt;
    std::vector<double> distances;
    distances.reserve(skin_.size());
    for (const PatientPoint& skin : skin_) distances.push_back(length(skin - point));
    std::nth_element(distances.begin(), distances.begin() + standing_out, distances.end());
    const double nearest = distances[standing_out];
    return nearest <= deepest_mm || is_imaged_before(point, std::min(nearest, deepest_mm)) ? std::optional(nearest) : std::nullopt;
}

bool FaceSurface::is_imaged_before(PatientPoint point, double distance) const {
    constexpr double cosine_of_cone = 0.7, least_share = 0.75;
    static const std::vector<PatientVector> all = even_directions<PatientLps>(200);
    int rays = 0, imaged = 0;
    for (const PatientVector& d : all) {
        if (-d.y < cosine_of_cone) continue;
        ++rays;
        if (block_->sample(point + d * distance)) ++imaged;
    }
    return imaged >= least_share * rays;
}

}  // namespace perisclera
