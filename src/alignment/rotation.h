// SPDX-License-Identifier: Apache-2.0
#pragma once
// A turn by a vector: its direction is the axis (right-handed), its length the angle in radians.
#include "perisclera/core/frames.h"

namespace perisclera {

template <class Frame>
Vector<Frame> turned(Vector<Frame> v, Vector<Frame> turn) {
    const double angle = length(turn);
    if (angle < 1e-12) return v;
    const Vector<Frame> axis = turn / angle;
    return v * std::cos(angle) + cross(axis, v) * std::sin(angle) + axis * (dot(axis, v) * (1.0 - std::cos(angle)));
}

/// `v` turned by the smallest turn that brings the unit vector `from` onto `to`. Precondition: they are not opposite.
template <class Frame>
Vector<Frame> swung(Vector<Frame> v, Vector<Frame> from, Vector<Frame> to) {
    const Vector<Frame> axis = cross(from, to);
    return v + cross(axis, v) + cross(axis, cross(axis, v)) / (1.0 + dot(from, to));
}

}  // namespace perisclera
