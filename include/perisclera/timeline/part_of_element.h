// SPDX-License-Identifier: Apache-2.0
#pragma once
// Does one element lie where another one lay at another date? A ring that is later found as an arc, or an arc of which a part is found, has its middle elsewhere and is the same element.
#include "perisclera/segmentation/element_finder.h"

namespace perisclera {

/// Share of the columns of `part` that lie within those of `whole`, give or take half a clock hour and 1.7 mm, as far as the frames of two dates differ; 0 to 1. Both in the frame
/// of the same eye, each of its own date.
double share_within(const FoundElement& part, const FoundElement& whole);

}  // namespace perisclera
