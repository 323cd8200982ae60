// SPDX-License-Identifier: Apache-2.0
#pragma once
// An oblique muscle or its tendon beside the globe: a strap that comes from a fixed place in the orbit, nears the globe along a great
// circle and lies flat on it where it inserts. Head coordinates, mm.
#include <array>

#include "head_box.h"

namespace perisclera::phantoms {

class ObliqueMuscle {
public:
    /// Across the strap: thickness along the globe's radius and width along its surface.
    struct Breadth {
        double thickness, width;
    };
    /// From `origin`, `at_origin` broad, to the point of the globe's surface in the direction `insertion`, `at_insertion` broad. Between them it
    /// keeps `clearance` from the globe of this radius, so that a rectus has room beneath it.
    ObliqueMuscle(HeadPoint globe_centre, double globe_radius, HeadPoint origin, Breadth at_origin, HeadVector insertion, Breadth at_insertion,
                  double clearance);
    [[nodiscard]] bool contains(HeadPoint point) const;
    /// May some of it lie in the box?
    [[nodiscard]] bool may_meet(const HeadBox& box) const;

private:
    HeadPoint centre_;
    std::array<HeadPoint, 17> middle_;  ///< points on its middle line, origin to insertion
    Breadth at_origin_, at_insertion_;
    /// No part lies outside these balls, each about four of the steps between those points.
    struct Ball {
        HeadPoint centre;
        double squared_radius;
    };
    std::array<Ball, 4> balls_;
};

}  // namespace perisclera::phantoms
