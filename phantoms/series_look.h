// SPDX-License-Identifier: Apache-2.0
// How a real series shows things, measured in its own pixels: texture of the noise in the vitreous, levels of vitreous and fat; its blur is edge_blur's.
// With these an element that is put into it looks like the rest of it.
#pragma once

#include <optional>
#include <span>

#include "composite.h"
#include "mr_setting.h"
#include "noise_texture.h"

namespace perisclera::phantoms {

/// From the slices of an even ball of `ball_mm` about each centre, a second-order surface taken away from each slice. None: fewer than 150 pixels.
std::optional<NoiseTexture> measured_noise(const VoxelGrid& grid, std::span<const PatientPoint> centres, double ball_mm);

/// Signal of the patient's own tissue. Vitreous: median of a ball about the globe's centre. Fat: median of what lies 2 to 7 mm behind the globe, the
/// optic nerve left out.
struct ReferenceLevels {
    double vitreous, fat;
};
ReferenceLevels reference_levels(const VoxelGrid& grid, const RealGlobe& globe);

/// MR signal of an element by the sequence's equation, on the scale on which vitreous and fat best have the levels they have (least squares; where fat is
/// suppressed by vitreous alone).
double element_level(const Element& element, const MrSetting& setting, const ReferenceLevels& levels);

}  // namespace perisclera::phantoms
