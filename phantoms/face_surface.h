// SPDX-License-Identifier: Apache-2.0
#pragma once
// The skin of the face without lids, in a face of usual breadth: `m` is the distance from the midline. mm.
#include "head_box.h"

namespace perisclera::phantoms {

/// Depth below the skin; negative outside; exact near the skin, where layers are thin. The sockets lie deeper by `setback` than in a usual face.
double depth_below_face(double m, double y, double z, double setback);
/// Bounds of it over a box.
Range depth_below_face(const HeadBox& face, double setback);

}  // namespace perisclera::phantoms
