// SPDX-License-Identifier: Apache-2.0
#pragma once
// Whether the look-alikes of a scenario have room in the head they are asked for: none within bone, none far beyond the skin, none in another's place.
#include "element_fit.h"

namespace perisclera::phantoms {

/// Error: bad_scenario, naming the first look-alike without room by its path (as "timepoints[0].eyes.right.look_alikes[0]"), at any date and in any gaze.
Result<Done> look_alikes_fit(const Scenario& scenario);

}  // namespace perisclera::phantoms
