// SPDX-License-Identifier: Apache-2.0
#pragma once
// Where the surface of a fluid lies that fills part of a body: the plane across gravity that leaves so much of the volume below it. mm.
#include <functional>

#include "perisclera/core/frames.h"

namespace perisclera::phantoms {

struct FluidLevel {
    double along_down_mm;  ///< from the origin of the body's coordinates
    double volume_mm3;     ///< of the whole body
};

/// `share_below` of the body's volume lies beyond the level in the direction `down`, a unit vector; for what floats, `down` is upwards. Layers of 0.1 mm
/// of points 0.25 mm apart; no part of the body lies farther than `reach_mm` from the origin.
template <class Frame>
FluidLevel fluid_level(double share_below, Vector<Frame> down, Point<Frame> origin, double reach_mm, const std::function<bool(Point<Frame>)>& contains);

}  // namespace perisclera::phantoms
