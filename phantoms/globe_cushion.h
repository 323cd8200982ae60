// SPDX-License-Identifier: Apache-2.0
#pragma once
// What lies on a globe before fat begins: lids and conjunctiva in front, the lacrimal gland above and to the temple, muscle sheaths and
// the ligaments between them elsewhere. Its thickness is a smooth random function of the direction, set so that fat begins within
// 5 mm of the wall on the stated share of the directions between `first_polar` and `last_polar` from the anterior axis.
#include <array>
#include <functional>
#include <optional>

#include "anatomy.h"
#include "head_frame.h"
#include "tissue.h"

namespace perisclera::phantoms {

class GlobeCushion {
public:
    static constexpr double first_polar = 50.0 * pi / 180.0, last_polar = 113.0 * pi / 180.0;
    static constexpr double near_wall_mm = 5.0;
    static constexpr double thickest_mm = 7.0;  ///< then fat, up to the orbit's wall

    /// `side`: the sign of x that points to the temple. `fat_without`: the height, below `near_wall_mm`, up to which fat lies in this direction
    /// if nothing cushions the globe; none where no fat lies so near.
    GlobeCushion(const CushionAnatomy& anatomy, double side, const std::function<std::optional<double>(HeadVector direction)>& fat_without);
    /// The tissue at this height above the wall in a direction of the head from the globe's centre; none where fat lies.
    [[nodiscard]] std::optional<Tissue> at(HeadVector direction, double height) const;
    /// mm, where fat begins in this direction.
    [[nodiscard]] double thickness(HeadVector direction) const;

private:
    struct Wave {
        HeadVector frequency;
        double phase;
    };
    [[nodiscard]] double unevenness(HeadVector direction) const;

    std::array<Wave, 10> waves_{};
    double side_, level_ = 0.0;
};

}  // namespace perisclera::phantoms
