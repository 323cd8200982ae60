// SPDX-License-Identifier: Apache-2.0
// An explant put into a real CT or MR series whose globes are known: what lies there is pushed outwards and squeezed, the wall
// gives way inwards, and the element fills its share of each voxel through the series' own blur and slice thickness. Voxels that
// neither the element, its blur nor the displacement reaches keep their value to the bit.
#pragma once

#include <cstdint>
#include <functional>

#include "globe_shape.h"
#include "noise_texture.h"
#include "perisclera/image/voxel_grid.h"
#include "scenario.h"

namespace perisclera::phantoms {

/// A globe in a real series, as somebody found it. Patient coordinates of that series.
struct RealGlobe {
    PatientPoint centre;
    PatientVector towards_left, superior, anterior;                ///< the eye's own axes, unit vectors
    double radius_mm;                                              ///< outer, at the equator: arcs and volumes refer to this sphere
    std::function<double(PatientVector direction)> outer_mm;       ///< distance of the outer sclera from the centre
};

/// How the element shows in the series, and the series' own blur and noise: edge_blur and series_look measure them.
struct CompositeLook {
    double value;                ///< HU or MR signal of the element
    NoiseTexture noise;          ///< the series' own
    double blur_mm;              ///< standard deviation of the blur in the plane, the pixel's own width left out
    double slice_thickness_mm;
    bool magnitude;              ///< MR: noise about no signal is Rician
    bool displaces = true;       ///< off: the element overwrites, for tests of what else changes
};

/// The result does not depend on anything but its arguments.
VoxelGrid put_into(const VoxelGrid& real, const RealGlobe& globe, const Element& element, const CompositeLook& look, std::uint64_t key);

/// Share of the element's volume on voxels of at least `value`: on CT, how much of it would lie within bone. 0..1.
double share_at_least(const VoxelGrid& real, const RealGlobe& globe, const Element& element, double value);

}  // namespace perisclera::phantoms
