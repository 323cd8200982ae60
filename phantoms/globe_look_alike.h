// SPDX-License-Identifier: Apache-2.0
#pragma once
// The look-alikes that lie on a globe and turn with it, as solids over the sphere like explants: silicone oil that has leaked, a calcified plaque, a
// drainage plate with the fluid over it, a cyst, pus in its rim of granulation tissue.
#include <vector>

#include "element_shape.h"
#include "perisclera/core/eye.h"
#include "scleral_profile.h"
#include "tissue.h"

namespace perisclera::phantoms {

struct GlobePart {
    std::size_t look_alike;  ///< its place in the eye's list
    Tissue tissue;
    bool in_wall;            ///< it replaces sclera and dents nothing
    ElementShape outline;    ///< what no part before it claims
    bool round_elements = false;  ///< it lies about the eye's elements, which keep their place in it
};

/// Where parts overlap, the first has the place.
std::vector<GlobePart> parts_on_globe(Eye eye, const EyeState& state, const GlobeShape& globe, const ScleralProfile& sclera);

}  // namespace perisclera::phantoms
