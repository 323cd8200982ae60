// SPDX-License-Identifier: Apache-2.0
#pragma once
// A hydrogel of half to three quarters water shows on no series by itself: on CT it is nearly muscle, on T1 and T2 it lies between muscle and fat. On
// all of them together it is like neither, nor like any mixture of the two: soft tissue on CT is no fat, and muscle is darker on T1 or T2.
#include "perisclera/segmentation/element_fusion.h"

namespace perisclera {

/// Hydrogels that the series of a visit show together. What each cell shows on all of them is held against what the fellow eye shows near the same place of eye
/// and head, against this patient's fat, muscle and air and their mixtures, and against hydrogel of every water fraction. `own` and `fellow`: each series in one
/// frame of the eye, nullptr where it shows no such eye; EyeElement::view counts in `own`. Empty without a fellow eye, or where fewer than two series serve.
std::vector<EyeElement> hydrogels_seen_jointly(const std::vector<const EyeView*>& own, const std::vector<const EyeView*>& fellow);

}  // namespace perisclera
