// SPDX-License-Identifier: Apache-2.0
#pragma once
// Small boxes of the head, and between what bounds a quantity lies within one. Ranges may be too wide, never too narrow.
#include <algorithm>
#include <cmath>

#include "head_frame.h"

namespace perisclera::phantoms {

struct Range {
    double low, high;
    friend constexpr Range operator+(Range a, Range b) { return {a.low + b.low, a.high + b.high}; }
    friend constexpr Range operator+(Range a, double b) { return {a.low + b, a.high + b}; }
    friend constexpr Range operator-(Range a, double b) { return {a.low - b, a.high - b}; }
    friend constexpr Range operator-(double a, Range b) { return {a - b.high, a - b.low}; }
    /// Precondition: b >= 0.
    friend constexpr Range operator*(Range a, double b) { return {a.low * b, a.high * b}; }
    [[nodiscard]] constexpr double width() const { return high - low; }
    [[nodiscard]] constexpr bool meets(double from, double to) const { return low <= to && high >= from; }
};
/// Of the size alone.
constexpr Range size_of(Range a) { return {std::max({0.0, a.low, -a.high}), std::max(-a.low, a.high)}; }
/// Of f, which never falls.
template <class Rising>
Range rising(Range a, Rising f) { return {f(a.low), f(a.high)}; }
constexpr Range squared(Range a) {
    const Range size = size_of(a);
    return {size.low * size.low, size.high * size.high};
}
/// Of sqrt(x^2 + y^2 + z^2).
inline Range length(Range x, Range y, Range z) {
    const Range sum = squared(x) + squared(y) + squared(z);
    return {std::sqrt(sum.low), std::sqrt(sum.high)};
}

/// Its edges run along the head's axes. Precondition: it does not cross the midline.
struct HeadBox {
    Range x, y, z;

    [[nodiscard]] HeadPoint middle() const { return {(x.low + x.high) / 2.0, (y.low + y.high) / 2.0, (z.low + z.high) / 2.0}; }
    [[nodiscard]] double half_diagonal() const { return std::sqrt(x.width() * x.width() + y.width() * y.width() + z.width() * z.width()) / 2.0; }
    /// Of the distance from a point.
    [[nodiscard]] Range distance(HeadPoint from) const { return length(x - from.x, y - from.y, z - from.z); }
    /// Of dot(p - from, axis).
    [[nodiscard]] Range along(HeadVector axis, HeadPoint from) const {
        const double at_middle = dot(middle() - from, axis);
        const double reach = (x.width() * std::abs(axis.x) + y.width() * std::abs(axis.y) + z.width() * std::abs(axis.z)) / 2.0;
        return {at_middle - reach, at_middle + reach};
    }
    /// With the distance from the midline of a face of usual breadth as x.
    [[nodiscard]] HeadBox in_usual_face(double breadth) const { return {size_of(x) * (1.0 / breadth), y, z}; }
};

}  // namespace perisclera::phantoms
