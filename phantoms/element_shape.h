// SPDX-License-Identifier: Apache-2.0
#pragma once
// The exact solid of one explant on a globe, in eye coordinates, and what is true of it.
// A point is described by v, the place along the element in [-1, 1]; the lateral arc (mm on the outer sclera, across the
// element from its middle line); and the height above the undented sclera. At each v the section is a rectangle or an
// ellipse in (lateral, height) whose inner face lies the local indentation below the undented sclera.
// Volumes are integrals over the sphere, (R + h)^2 dh over solid angle, never sums over voxels.
#include "globe_shape.h"
#include "perisclera/core/frames.h"
#include "scenario.h"

namespace perisclera::phantoms {

struct TrueSection {
    double clock_hour, width_mm, thickness_mm, area_mm2;
};

class ElementShape {
public:
    ElementShape(const Element& element, const GlobeShape& globe);

    [[nodiscard]] const Element& element() const { return element_; }

    /// `direction` is the unit vector from the globe's centre, `height` the distance above the undented sclera.
    [[nodiscard]] bool contains(EyeVector direction, double height) const;
    /// Height of the element's outer face in this direction, falling smoothly to 0 within some mm beside the element: how far tissue is lifted.
    [[nodiscard]] double lift(EyeVector direction) const;
    /// How far the outer sclera is pressed in in this direction, likewise.
    [[nodiscard]] double dent(EyeVector direction) const;
    /// No part lies higher than this above the undented sclera.
    [[nodiscard]] double highest() const { return highest_; }

    [[nodiscard]] double volume_mm3() const;
    [[nodiscard]] TrueSection largest_section() const;
    /// Extent in arc from the limbus: anterior, posterior.
    [[nodiscard]] std::array<double, 2> limbus_extent_mm() const;
    /// Clock hours from, to, span.
    [[nodiscard]] std::array<double, 3> clock_extent() const;

private:
    struct Place {
        double v, lateral;
    };
    /// Half width, thickness and indentation of the section at v, and how high it is raised off the sclera.
    struct Profile {
        double half_width, thickness, dent, raised;
    };
    [[nodiscard]] Place place(EyeVector direction) const;
    /// Is the direction so far from the element that it neither contains, lifts nor dents anything there?
    [[nodiscard]] bool far_from(EyeVector direction) const;
    [[nodiscard]] Profile profile(double v) const;
    /// Heights of inner and outer face; precondition |lateral| <= half_width.
    [[nodiscard]] std::array<double, 2> faces(const Profile& p, double lateral) const;
    [[nodiscard]] double area(double v) const;
    /// Does v lie between two fragments?
    [[nodiscard]] bool in_gap(double v) const;
    [[nodiscard]] Profile irregular_profile(double v) const;
    /// Distance in mm along a ring from the nearest point of the arc between two hours; 0 within.
    [[nodiscard]] double beyond_arc(double v, double from_hour, double to_hour) const;
    /// Is the section not the same all along?
    [[nodiscard]] bool varies() const { return element_.form == Form::irregular || element_.overlap.length_mm > 0.0 || element_.raised.height_mm > 0.0; }
    [[nodiscard]] int steps_along() const;
    /// Distance in mm beside the element's outline.
    [[nodiscard]] double beside(const Place& at, const Profile& p) const;
    [[nodiscard]] bool is_radial() const { return element_.form == Form::radial; }
    [[nodiscard]] bool is_ring() const { return element_.form == Form::encircling; }

    Element element_;
    GlobeShape globe_;
    double middle_hour_;      ///< clock position of the middle, radians from superior towards the patient's left
    double middle_polar_;     ///< angle of the middle line (circumferential) or of the middle (radial) from the axis
    double half_along_;       ///< half the extent along: clock angle (circumferential) or angle from the centre (radial)
    double half_along_mm_;
    EyeVector middle_;        ///< direction of the element's middle
    double nearest_cosine_;   ///< every direction it affects lies within this cosine of the middle (ring: these cosines of the axis)
    double axis_cosine_low_, axis_cosine_high_;
    double largest_v_;
    double highest_;
};

}  // namespace perisclera::phantoms
