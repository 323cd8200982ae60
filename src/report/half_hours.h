// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cmath>
#include <string>

#include "perisclera/core/clock_position.h"

namespace perisclera::report {

/// Hours on the dial to the nearest half, "12½"; the full turn is 12.
inline std::string half_hours(double hours) {
    const int halves = static_cast<int>(std::lround(ClockPosition(hours).hours() * 2.0)) % 24;
    return std::to_string(halves < 2 ? 12 : halves / 2) + (halves % 2 == 1 ? "½" : "");
}

}  // namespace perisclera::report
