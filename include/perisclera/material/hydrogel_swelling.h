// SPDX-License-Identifier: Apache-2.0
#pragma once
// What the growth of a hydrogel says of its water, apart from what its signals say: polymer is conserved, so that each volume fixes a share of polymer. As sold the
// material holds 15 % water by mass, at a dry density of 1.25 g/cm3 a polymer share of 0.82 by volume (own calculation, which assumes that density).
#include <vector>

#include "perisclera/core/measured.h"
#include "perisclera/material/material_opinion.h"

namespace perisclera {

/// The cross-section of an element when it was sewn on, as told of the operation. Both greater than 0.
struct OriginalSection {
    Mm width, thickness;
};

/// Mass of water over whole mass at so many times the volume as sold (>= 1).
Fraction water_at_swelling(double volume_ratio);

/// From today's area of the largest section, were the element hydrogel that swells alike in all directions: its volume grows as the area to the power 1.5. The interval
/// holds that of the area, and an original that filled its width and thickness as a rectangle does, or only as an ellipse. Unmeasured where the area is, or is smaller than the original's.
Measurement<Fraction> water_by_swelling(const Measurement<Mm2>& area, const OriginalSection& original);

/// Two measurements of one quantity whose 95 % intervals do not meet; false where either is missing.
bool apart(const Measurement<Fraction>& a, const Measurement<Fraction>& b);

/// Of an element that has grown by this volume: did its CT number stay where taking up water would have lowered it? Asks for CT numbers of both dates at like
/// tube voltages, and for a deviation of two standard uncertainties; false where these scans do not tell.
bool grew_without_water(const Measured<Percent>& growth, const std::vector<JudgedReading>& before, const std::vector<JudgedReading>& after);

}  // namespace perisclera
