// SPDX-License-Identifier: Apache-2.0
#pragma once
// What pieces of one element share, whatever the rule by which they are known to be one.
#include "perisclera/segmentation/element_fusion.h"

namespace perisclera {

/// Seen in the same manner, with signals that do not differ beyond their uncertainties.
bool alike(const FoundElement& a, const FoundElement& b);

/// The whole takes on the part's signals, by volume, its strength, its sure columns and the series that show it; its cells stay.
void take_on_signs(const PolarBlock& block, EyeElement& whole, const EyeElement& part);

}  // namespace perisclera
