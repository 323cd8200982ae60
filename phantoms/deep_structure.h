// SPDX-License-Identifier: Apache-2.0
#pragma once
// Bone, sinuses and brain around the orbits, and the soft tissue of the face over them, in a face of usual breadth: `m` is the distance from the
// midline. mm.
#include <optional>

#include "head_box.h"
#include "locality.h"
#include "orbit_place.h"

namespace perisclera::phantoms {

/// Below the skin by this and more a depth makes no difference to what lies there.
inline constexpr double deep_mm = 7.5;

/// Nothing where soft tissue lies. `near` holds at the point.
std::optional<Tissue> deep_structure(const OrbitPlace& o, double m, double y, double z, double depth, Locality near);
Tissue outer_soft_tissue(double m, double y, double z, double depth);

/// Adds which of wall, sinuses, cheekbone and skull may lie in a box.
void note_deep_structures(Locality& near, const HeadBox& face, const OrbitPlaceRange& place);
/// The outer soft tissue of a whole box that lies deep; nothing if there may be several.
std::optional<Tissue> deep_outer_soft_tissue(const HeadBox& face);

}  // namespace perisclera::phantoms
