// SPDX-License-Identifier: Apache-2.0
#pragma once
// How alike the two halves of the head are that the plane between two places parts: two eyes lie mirrored, so all that lies round them does, whatever the contrast and
// whatever fills either eye. An eye and a sinus of the other side, or two places in one half, part the head askew. What lies within the two balls does not count.
#include <optional>

#include "coarse_block.h"
#include "perisclera/core/eye.h"

namespace perisclera {

/// Correlation of the image with its mirror image, -1..1; nothing where less than `fewest_mm3` is imaged on both sides, or nothing of it stands out.
std::optional<double> mirror_likeness(const CoarseBlock& block, PatientPoint right, PatientPoint left, double step_mm = 3.0, double fewest_mm3 = 8100.0);

/// Of one globe: which eye is it, by the side on which the head is mirrored about a plane half way to a fellow? Empty where neither side shows it plainly.
std::optional<Eye> side_by_mirror(const CoarseBlock& block, PatientPoint globe);

}  // namespace perisclera
