// SPDX-License-Identifier: Apache-2.0
#pragma once
// The eye's own frame: origin the globe's centre, z anterior along the eye's axis, y superior as far as that allows,
// x towards the patient's left. Only this class converts between patient and eye coordinates.
#include "perisclera/core/clock_position.h"
#include "perisclera/core/frames.h"

namespace perisclera {

class EyeFrame {
public:
    /// anterior: along the eye's axis; superior: need not be perpendicular to it, must not be parallel.
    EyeFrame(PatientPoint origin, PatientVector anterior, PatientVector superior)
        : origin_(origin), z_(unit(anterior)), y_(unit(superior - z_ * dot(superior, z_))), x_(cross(y_, z_)) {}
    [[nodiscard]] PatientPoint to_patient(EyePoint p) const { return origin_ + x_ * p.x + y_ * p.y + z_ * p.z; }
    [[nodiscard]] EyePoint to_eye(PatientPoint p) const {
        const PatientVector d = p - origin_;
        return {dot(d, x_), dot(d, y_), dot(d, z_)};
    }
    [[nodiscard]] PatientVector to_patient(EyeVector v) const { return x_ * v.x + y_ * v.y + z_ * v.z; }
    [[nodiscard]] EyeVector to_eye(PatientVector v) const { return {dot(v, x_), dot(v, y_), dot(v, z_)}; }
    [[nodiscard]] PatientPoint origin() const { return origin_; }
    [[nodiscard]] PatientVector anterior() const { return z_; }
    [[nodiscard]] PatientVector superior() const { return y_; }
    [[nodiscard]] PatientVector towards_left() const { return x_; }

private:
    PatientPoint origin_;
    PatientVector z_, y_, x_;
};

/// Clock position of a point off the axis.
inline ClockPosition clock_of(EyePoint p) { return ClockPosition::from_components(p.x, p.y); }

/// Angle from the anterior axis, radians in [0, pi].
inline double polar_angle(EyePoint p) { return std::atan2(std::hypot(p.x, p.y), p.z); }

}  // namespace perisclera
