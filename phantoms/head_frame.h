// SPDX-License-Identifier: Apache-2.0
#pragma once
// Head coordinates, mm: origin midway between the usual globe centres, x to the patient's left, y posterior, z superior; and how an
// eye is turned in them.
#include <cmath>

#include "globe_shape.h"
#include "perisclera/core/frames.h"

namespace perisclera::phantoms {

struct HeadFrame {};
using HeadPoint = Point<HeadFrame>;
using HeadVector = Vector<HeadFrame>;

/// Where an eye lies in the head and where it looks.
struct EyePlacement {
    HeadPoint centre;
    HeadVector towards_left, superior, anterior;  ///< the eye's own axes

    /// Gaze in degrees towards the patient's left and up, about the globe's centre.
    static EyePlacement looking(HeadPoint centre, double left_deg, double up_deg) {
        const double h = left_deg * pi / 180.0, v = up_deg * pi / 180.0;
        const HeadVector anterior{std::sin(h) * std::cos(v), -std::cos(h) * std::cos(v), std::sin(v)};
        const HeadVector left{std::cos(h), std::sin(h), 0.0};
        return {centre, left, cross(anterior, left), anterior};
    }
    [[nodiscard]] EyePoint to_eye(HeadPoint p) const {
        const HeadVector d = p - centre;
        return {dot(d, towards_left), dot(d, superior), dot(d, anterior)};
    }
    [[nodiscard]] HeadPoint to_head(EyePoint p) const { return centre + towards_left * p.x + superior * p.y + anterior * p.z; }
};

}  // namespace perisclera::phantoms
