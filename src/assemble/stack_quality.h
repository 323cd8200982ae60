// SPDX-License-Identifier: Apache-2.0
// What the geometry of a sound stack already says against it: thick slices, room between them that was not imaged, too few to
// hold both globes. Needs no pixels, so the survey tells it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "perisclera/core/eye.h"
#include "perisclera/image/volume_geometry.h"

namespace perisclera {

/// In words, for the series' problems. slice_thickness_mm: the acquired thickness, where it is stated.
std::vector<std::string> stack_problems(const VolumeGeometry& geometry, std::optional<double> slice_thickness_mm);

/// In words, where Spacing Between Slices is neither the distance that the positions have nor the gap that the thickness leaves of it;
/// some scanners write the one and some the other.
std::optional<std::string> contradicted_distance(const VolumeGeometry& geometry, std::optional<double> slice_thickness_mm, std::optional<double> stated_mm);

/// In words, both statements, where the header names one side and the images lie wholly on the other of the scanner's middle, by more
/// than heads lie off it.
std::optional<std::string> side_conflict(const VolumeGeometry& geometry, std::optional<Eye> stated);

}  // namespace perisclera
