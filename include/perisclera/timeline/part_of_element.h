// SPDX-License-Identifier: Apache-2.0
#pragma once
// Does one element lie where another one lay at another date? A ring that is later found as an arc, or an arc of which a part is found, has its middle elsewhere and is the same element.
#include "perisclera/segmentation/element_finder.h"

namespace perisclera {

/// How far a column may lie from those it is looked for among: hours along the clock, mm along the meridian either way.
struct Reach {
    double hours, mm;
};
/// As far as the frames of two dates differ; and with an element that slipped besides (towards the limbus by up to 4 mm; either date may be the earlier).
inline constexpr Reach frames_of_two_dates{0.5, 1.7}, frames_and_migration{0.5, 4.0}, one_frame{0.0, 0.0};

/// Share of the columns of `part` that lie within reach of those of `whole`; 0 to 1. Both in the frame of the same eye, each of its own date.
double share_within(const FoundElement& part, const FoundElement& whole, Reach reach = frames_of_two_dates);

}  // namespace perisclera
