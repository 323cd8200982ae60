// SPDX-License-Identifier: Apache-2.0
// A head that moves within the plane while a slice is taken. Each direction of an image's frequencies comes from the one projection along the lines across
// it (the projection-slice theorem), so that direction is shifted by where the head was at that projection's time: doubled edges and streaks, nothing lost.
#pragma once

#include <array>

#include "plane_filter.h"

namespace perisclera::phantoms {

/// `drift_mm`: how far the head moves along rows and along columns, evenly during half a turn, which begins with the frequencies along the rows; in the
/// middle of it the head is where it should be. Structures cut by the image's edges are taken to go on smoothly beyond.
void move_during_turn(Image& image, double spacing_mm, std::array<double, 2> drift_mm);

}  // namespace perisclera::phantoms
