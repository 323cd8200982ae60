// SPDX-License-Identifier: Apache-2.0
#include "perisclera/core/clock_position.h"

#include <string>

#include "perisclera/core/text.h"

namespace perisclera {

std::string quadrant_in_words(ClockPosition position, Eye eye) {
    const double up = std::cos(position.radians());
    const double left = std::sin(position.radians());
    // Within half an hour of a principal direction the plain word is the better one.
    const auto near_to = [&](double hour) { return position.distance_to(ClockPosition(hour)).value() <= 0.5; };
    const bool left_is_temporal = eye == Eye::left;
    const bool temporal = (left > 0.0) == left_is_temporal;
    if (near_to(0.0)) return say("quadrant.superior");
    if (near_to(6.0)) return say("quadrant.inferior");
    if (near_to(3.0) || near_to(9.0)) return say(temporal ? "quadrant.temporal" : "quadrant.nasal");
    if (up > 0.0) return say(temporal ? "quadrant.upper_temporal" : "quadrant.upper_nasal");
    return say(temporal ? "quadrant.lower_temporal" : "quadrant.lower_nasal");
}

}  // namespace perisclera
