// SPDX-License-Identifier: Apache-2.0
// How well one series serves to look round a globe, measured in its own pixels: what lies beyond the images, noise, motion
// ghosts (MR) or streaks (CT), metal nearby. The words go to the series' problems; no threshold hides a series.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "perisclera/anatomy/globe.h"
#include "perisclera/assemble/image_series.h"

namespace perisclera {

/// Of the vitreous, behind lens and ciliary body: the one part of the head known to be even.
struct VitreousTexture {
    double noise;                  ///< standard deviation about a plane, HU or MR signal
    double pattern;                ///< standard deviation of what varies along one in-plane direction only (ghosts, streaks); 0 where none stands out of the noise
    PatientVector pattern_along;   ///< in-plane unit vector across the lines of the pattern
};

struct GlobeQuality {
    double beyond_images = 0.0;                    ///< share of the globe and the 6 mm round it that was not imaged, 0..1
    PatientVector missing_towards{0, 0, 0};        ///< unit vector; zero when nothing is missing
    std::optional<VitreousTexture> texture;        ///< empty when the vitreous has too few voxels
    std::optional<Mm> metal_distance;              ///< CT: from the sclera to the nearest value of 3000 HU and more within 60 mm of the globe's centre
};

/// Never fails.
GlobeQuality globe_quality(const VoxelGrid& grid, Modality modality, const Globe& globe);

/// In words, for the series' problems; empty when nothing is to be said.
std::vector<std::string> in_words(const GlobeQuality& quality, Modality modality, const Globe& globe);

/// Share of the images' outer border, at the level of the point, on which the head lies: beyond it the head was not imaged, CT numbers near
/// it may be off and MR may fold over. 0..1.
double head_on_border(const VoxelGrid& grid, Modality modality, PatientPoint level);

}  // namespace perisclera
