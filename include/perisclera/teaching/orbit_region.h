// SPDX-License-Identifier: Apache-2.0
#pragma once
// What of a series is kept for teaching: a region round each orbit, in front no more than the globes themselves, and nothing of the skin beyond them, so that no face can be made from it.
#include <array>
#include <optional>
#include <vector>

#include "perisclera/assemble/image_series.h"

namespace perisclera::teaching {

/// Surface between tissue and air, by the faces of voxels, where a straight line through air leads out of the images to the front, a side, above or below; in front of a plane 15 mm
/// behind the globes' centres: the face, as far as it is imaged. The staircase of voxels overstates areas alike before and after.
struct FaceSurface {
    double imaged_mm2 = 0.0;        ///< in the images as they were
    double kept_mm2 = 0.0;          ///< of that, where the tissue beneath is kept
    double cut_beneath_mm2 = 0.0;   ///< kept tissue ends at the depth to which skin was taken away: this much runs alongside the former surface, inside the orbits' regions
    [[nodiscard]] double kept_share() const { return imaged_mm2 > 0.0 ? kept_mm2 / imaged_mm2 : 0.0; }
};

/// The lengths that describe a region, mm. How much they must leave for the explants to be found and measured alike was tried on simulated patients and composed cases.
struct RegionLengths {
    double sphere = 26.0;         ///< radius of what is kept round an orbit
    double sphere_behind = 4.0;   ///< its centre lies so far behind the globe's
    double front = 10.0;          ///< nothing but the globe is kept further in front of the globe's centre
    double skin = 2.0;            ///< depth to which tissue next to the outer air is taken away
    double layer_front = 1.0;     ///< so far in front of the globe's centre a layer next to the air goes as a whole, where layers are thicker than `skin`
    double over_gas = 1.0;        ///< but so much over gas that lies within tissue, on CT
    double globe = 0.5;           ///< beyond the sclera, which is kept whatever lies before it
    double cornea = 1.5;          ///< the same within 37 degrees of the eye's axis
    double patch = 4.0;           ///< radius of the patch about the axis where what lies before the cornea is kept, without which its front cannot be told,
    double before = 4.5;          ///< and how far beyond the sclera's radius that reaches
    double skin_behind = 12.0;    ///< no skin lies further behind the globe's centre on its nasal side, but the air of the nose does
};

struct OrbitRegion {
    std::vector<char> kept;           ///< by voxel of the series
    std::array<int, 3> first, size;   ///< the block that holds all of it: columns, rows, slices
    FaceSurface face;
};

/// Round the globes that the series itself shows; `eye`: of this one only. Error: no_globe.
Result<OrbitRegion> orbit_region(const ImageSeries& series, std::optional<Eye> eye, const RegionLengths& lengths = {});

}  // namespace perisclera::teaching
