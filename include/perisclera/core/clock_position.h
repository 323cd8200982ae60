// SPDX-License-Identifier: Apache-2.0
#pragma once
// Clock hours as an examiner facing the patient reads them: 12 superior, 3 towards the patient's left,
// so 3 is nasal in the right eye and temporal in the left. Values lie in [0, 12).
#include <cmath>
#include <string>

#include "perisclera/core/eye.h"
#include "perisclera/core/units.h"

namespace perisclera {

class ClockPosition {
public:
    /// Any finite number of hours, wrapped into [0, 12).
    explicit ClockPosition(double hours) : hours_(wrap(hours)) {}
    /// From components towards the patient's left and superior in the plane across the eye's axis (not both zero).
    static ClockPosition from_components(double towards_left, double superior) {
        return ClockPosition(std::atan2(towards_left, superior) * 6.0 / 3.14159265358979323846);
    }
    [[nodiscard]] double hours() const { return hours_; }
    /// Angle from superior towards the patient's left, radians in [0, 2 pi).
    [[nodiscard]] double radians() const { return hours_ * 3.14159265358979323846 / 6.0; }
    /// Hours passed going clockwise (examiner's view) from this to other, in [0, 12).
    [[nodiscard]] ClockHours clockwise_to(ClockPosition other) const { return ClockHours(wrap(other.hours_ - hours_)); }
    /// Shortest distance on the dial, in [0, 6].
    [[nodiscard]] ClockHours distance_to(ClockPosition other) const {
        const double d = wrap(other.hours_ - hours_);
        return ClockHours(d > 6.0 ? 12.0 - d : d);
    }
    bool operator==(const ClockPosition&) const = default;

private:
    static double wrap(double h) {
        double w = std::fmod(h, 12.0);
        if (w < 0.0) w += 12.0;
        return w >= 12.0 ? 0.0 : w;
    }
    double hours_;
};

/// "upper nasal", "lower temporal", ... for the middle of a clock position in this eye.
std::string quadrant_in_words(ClockPosition position, Eye eye);

}  // namespace perisclera
