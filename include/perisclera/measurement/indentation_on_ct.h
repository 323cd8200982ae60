// SPDX-License-Identifier: Apache-2.0
#pragma once
// How deep an element lies in the wall, where CT shows that wall and the element was measured on MR, on which wall and element are one.
#include "perisclera/alignment/eye_views.h"
#include "perisclera/measurement/element_measurements.h"

namespace perisclera {

/// The same with the indentation of the wall's outer face under the element's thicker half; `ct`: the same eye on CT, in the same frame. The rest stays.
ElementMeasurements with_indentation_on(const EyeView& ct, const FoundElement& element, ElementMeasurements measured);

}  // namespace perisclera
