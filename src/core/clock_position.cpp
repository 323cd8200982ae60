// SPDX-License-Identifier: Apache-2.0
#include "perisclera/core/clock_position.h"

#include <string>

namespace perisclera {

std::string quadrant_in_words(ClockPosition position, Eye eye) {
    const double up = std::cos(position.radians());
    const double left = std::sin(position.radians());
    // Within half an hour of a principal direction the plain word is the better one.
    const auto near_to = [&](double hour) { return position.distance_to(ClockPosition(hour)).value() <= 0.5; };
    const bool left_is_temporal = eye == Eye::left;
    const std::string side = (left > 0.0) == left_is_temporal ? "temporal" : "nasal";
    if (near_to(0.0)) return "superior";
    if (near_to(6.0)) return "inferior";
    if (near_to(3.0) || near_to(9.0)) return side;
    return (up > 0.0 ? "upper " : "lower ") + side;
}

}  // namespace perisclera
