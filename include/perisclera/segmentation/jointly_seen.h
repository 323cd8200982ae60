// SPDX-License-Identifier: Apache-2.0
#pragma once
// A hydrogel of half to three quarters water shows on no series by itself: on CT it is nearly muscle, on T1 and T2 it lies between muscle and fat. On
// all of them together it is like neither, nor like any mixture of the two: soft tissue on CT is no fat, and muscle is darker on T1 or T2.
#include "perisclera/segmentation/element_fusion.h"

namespace perisclera {

struct SeenJointly {
    std::vector<EyeElement> elements{};
    /// Where there are no elements: strength, as FoundElement's, of what may be one all the same; 0 where nothing may.
    double unexplained = 0.0;
};

/// Hydrogels that the series of a visit show together. What each cell shows on all of them is held against what the fellow eye shows near the same place of eye
/// and head, against this patient's fat, muscle and air and their mixtures, and against hydrogel of every water fraction. `own` and `fellow`: each series in one
/// frame of the eye, nullptr where it shows no such eye; EyeElement::view counts in `own`. `known`: elements of the fellow eye, opposite which nothing is looked for.
/// Empty without a fellow eye, or without CT and one series of MR, or T1 and T2, that serve. On T1 and T2 alone only what is watery is looked for: with less water it shows
/// what a mixture of muscle and fat does (in a real head without explants that was taken for hydrogel).
SeenJointly hydrogels_seen_jointly(const std::vector<const EyeView*>& own, const std::vector<const EyeView*>& fellow, const std::vector<const FoundElement*>& known = {});

/// Bodies on the wall that are brighter on CT than soft tissue, less bright than silicone, and unlike anything near the same place of the fellow eye: hydrogel of a third to
/// three fifths water. Arguments as above; series of MR are not asked, and what is `found` already is not told again. Empty without CT of slices to 3.5 mm
/// that shows both eyes.
std::vector<EyeElement> soft_bodies_unlike_fellow(const std::vector<const EyeView*>& own, const std::vector<const EyeView*>& fellow, const std::vector<const FoundElement*>& known = {},
                                                  const std::vector<EyeElement>& found = {});

/// Silicone on MR, solid or sponge: darker on T1 and on T2 than anything near the same place of the fellow eye, and than muscle; wall, tendons, bone and air are as
/// dark, but in both eyes. Arguments as above; series of CT are not asked. Empty without two series of MR that show both eyes.
std::vector<EyeElement> voids_seen_jointly(const std::vector<const EyeView*>& own, const std::vector<const EyeView*>& fellow, const std::vector<const FoundElement*>& known = {});

}  // namespace perisclera
