// SPDX-License-Identifier: Apache-2.0
#pragma once
// Whether the elements of a scenario have room in the head they are asked for: soft tissue gives way to them, bone does not, and skin
// stretches only so far.
#include "head_model.h"

namespace perisclera::phantoms {

/// How an element lies in its orbit.
struct ElementFit {
    double share_in_bone;   ///< of its volume, 0..1
    double beyond_skin_mm;  ///< how far it reaches beyond the skin as it lies without the element; 0 below
    double off_sphere_mm;   ///< how far the wall beneath it departs from the sphere that its sizes refer to
};
ElementFit fit_of(const HeadModel& head, Eye eye, const ElementShape& element);

/// Error: bad_scenario, naming the first element without room by its path (as "timepoints[0].eyes.right.elements[0]"), at any date and in any gaze.
Result<Done> elements_fit(const Scenario& scenario);

}  // namespace perisclera::phantoms
