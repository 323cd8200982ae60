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
    /// The same gaze with the torsion of Listing's law: straight from looking ahead, turned about an axis in the frontal plane, then about
    /// the line of sight by `torsion_deg`, 12 o'clock towards the patient's left.
    static EyePlacement listing(HeadPoint centre, double left_deg, double up_deg, double torsion_deg) {
        const EyePlacement upright = looking(centre, left_deg, up_deg);
        // The axis is ahead x gaze; (0, 0, 1) turned about it by the angle between them (Rodrigues, simplified as the axis has no part along ahead).
        const HeadVector ahead{0.0, -1.0, 0.0}, up{0.0, 0.0, 1.0}, gaze = upright.anterior;
        const HeadVector superior = up - (ahead + gaze) * (dot(gaze, up) / (1.0 + dot(ahead, gaze)));
        const HeadVector left = cross(superior, gaze);
        const double t = torsion_deg * pi / 180.0;
        return {centre, left * std::cos(t) - superior * std::sin(t), superior * std::cos(t) + left * std::sin(t), gaze};
    }
    /// How far 12 o'clock leans towards the patient's left from the upright of this gaze, degrees.
    [[nodiscard]] double lean_deg() const {
        const HeadVector up{0.0, 0.0, 1.0};
        const HeadVector upright = unit(up - anterior * dot(anterior, up));
        return std::atan2(dot(superior, cross(upright, anterior)), dot(superior, upright)) * 180.0 / pi;
    }
    [[nodiscard]] EyePoint to_eye(HeadPoint p) const {
        const HeadVector d = p - centre;
        return {dot(d, towards_left), dot(d, superior), dot(d, anterior)};
    }
    [[nodiscard]] HeadPoint to_head(EyePoint p) const { return centre + towards_left * p.x + superior * p.y + anterior * p.z; }
};

}  // namespace perisclera::phantoms
