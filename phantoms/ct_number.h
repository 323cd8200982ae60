// SPDX-License-Identifier: Apache-2.0
// CT numbers of the synthesised head's tissues and of explants, from what they are made of.
#pragma once

#include "ct_beam.h"
#include "tissue.h"

namespace perisclera::phantoms {

/// HU behind a head at the beam's voltage.
double tissue_ct_number(Tissue tissue, const CtBeam& beam);

/// HU behind a head at this tube voltage. A silicone that is known by its CT number at 120 kVp is filled with as much silica, or holds as much air, as
/// gives that number there; a hydrogel follows its water fraction.
double element_ct_number(const Element& element, double kvp);

}  // namespace perisclera::phantoms
