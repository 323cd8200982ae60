// SPDX-License-Identifier: Apache-2.0
#pragma once
// The signal along rays from the globe's centre across its wall, and which of them may show another wall than the globe's own: beside bone or air, or dented by an explant.
// Distances in mm from the centre.
#include <array>
#include <vector>

#include "perisclera/anatomy/globe.h"

namespace perisclera {

/// Retina and choroid, about 0.2 mm each (textbook).
inline constexpr double uvea_mm = 0.4;

/// One direction's samples, equidistant about the surface asked about.
struct WallRay {
    static constexpr double step_mm = 0.25;
    static constexpr int inwards = 24, outwards = 24, count = inwards + outwards + 1;
    PatientVector direction;
    double surface_mm;   ///< distance of the surface from the centre
    double sclera_mm;    ///< usual thickness of the sclera here
    double voxel_mm;     ///< a voxel's length along the ray
    /// How far a sample may lie off its layers, standard: contents are even, what lies beyond is not.
    double uneven_contents, uneven_beyond;
    double span;         ///< from the least sample to the greatest
    bool hidden, dented; ///< bone, air or an explant may hide the wall; an explant may dent it
    std::array<double, count> signal;
};

/// Directions farther than 60 degrees from the axis that stay in the images. `least_noise`: of the contents, > 0.
std::vector<WallRay> wall_rays(const VoxelGrid& grid, Modality modality, PatientPoint centre, const SmoothRadius& outer, PatientVector anterior, double least_noise);

}  // namespace perisclera
