// SPDX-License-Identifier: Apache-2.0
#pragma once
// How alike the two halves of the head are that the plane between two places parts: two eyes lie mirrored, so all that lies round them does, whatever the contrast and
// whatever fills either eye. An eye and a sinus of the other side, or two places in one half, part the head askew. What lies within the two balls does not count.
#include <optional>

#include "coarse_block.h"

namespace perisclera {

/// Correlation of the image with its mirror image, -1..1; nothing where too little is imaged on both sides, or nothing of it stands out.
std::optional<double> mirror_likeness(const CoarseBlock& block, PatientPoint right, PatientPoint left);

}  // namespace perisclera
