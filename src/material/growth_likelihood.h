// SPDX-License-Identifier: Apache-2.0
#pragma once
// How likely an element's change of volume between two dates is of a material, and of what may be taken for an explant. No rate was found published; what swells and for how
// long is: hydrogels were removed for it after 4 to 16 years, none altered before 5.5 (Retina 2003;23:257-261, doi 10.1097/00006982-200304000-00025). The shares are assumed.
#include "hypotheses.h"

namespace perisclera {

/// Per unit of the ratio's natural logarithm, times the share of such that would be there at both dates. `reading` is of growth. `material` is none but an explant's.
double likelihood_of_growth(const Reading& reading, MaterialClass material);
double likelihood_of_growth(const Reading& reading, const Imitation& what);

}  // namespace perisclera
