// SPDX-License-Identifier: Apache-2.0
#pragma once
// The look-alikes that lie still in an orbit, in head coordinates: a plate on a fractured wall, a weight in the upper lid, an abscess beneath the
// periosteum, a splinter of wood. Each is the inside of a smooth surface, and takes the place of soft tissue only.
#include <functional>
#include <optional>
#include <vector>

#include "anatomy.h"
#include "head_frame.h"
#include "look_alike.h"
#include "perisclera/core/eye.h"
#include "tissue.h"

namespace perisclera::phantoms {

/// What the shapes are laid out by.
struct OrbitFrame {
    Eye eye;
    const EyeAnatomy& anatomy;
    EyePlacement straight;  ///< of the globe as it looks ahead
    double globe_radius_mm;
    HeadPoint lids;         ///< the centre of the closed lids' sphere
    HeadVector down;        ///< where gravity points
};

struct OrbitPart {
    std::size_t look_alike;  ///< its place in the eye's list
    HeadPoint middle;
    double reach_mm;  ///< beyond this distance from the middle it changes nothing
    bool thin;        ///< its faces lie close together
    std::function<double(HeadPoint)> outside_mm;  ///< how far the point lies beyond its surface, roughly; negative within
    std::function<Tissue(HeadPoint)> inside;      ///< what it is made of at a point within
    double stranding_mm = 0.0;                    ///< so far around it strands run through the fat

    [[nodiscard]] bool contains(HeadPoint p) const { return length(p - middle) < reach_mm && outside_mm(p) < 0.0; }
    /// What lies here where `there` lay before.
    [[nodiscard]] std::optional<Tissue> at(HeadPoint p, Tissue there) const;
};

/// Does soft tissue give way to a look-alike in the orbit? Globe, nerve, bone and skin do not.
bool gives_way(Label there);

std::vector<OrbitPart> parts_in_orbit(const OrbitFrame& frame, const std::vector<LookAlike>& look_alikes);

}  // namespace perisclera::phantoms
