// SPDX-License-Identifier: Apache-2.0
#pragma once
// How often an explant, or what may be taken for one, is so thick and follows the sclera so far. All are densities, per mm and per hour of the clock, so that
// explants and what imitates can be held against each other. No series of sizes was found published: stock sizes from memory, the rest assumed, and none is a proof.
#include "hypotheses.h"

namespace perisclera {

/// Per mm, of a thickness read with its standard uncertainty. `material` is none but an explant's.
double density_of_thickness(MaterialClass material, const Reading& reading);
double density_of_thickness(const Imitation& what, const Reading& reading);

/// Per hour, of the way along the sclera behind the limbus.
double density_of_span(MaterialClass material, const Reading& reading);
double density_of_span(const Imitation& what, const Reading& reading);

}  // namespace perisclera
