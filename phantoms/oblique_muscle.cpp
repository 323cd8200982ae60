// SPDX-License-Identifier: Apache-2.0
#include "oblique_muscle.h"

#include <algorithm>
#include <cmath>

namespace perisclera::phantoms {

ObliqueMuscle::ObliqueMuscle(HeadPoint globe_centre, double globe_radius, HeadPoint origin, Breadth at_origin, HeadVector insertion,
                             Breadth at_insertion, double clearance)
    : centre_(globe_centre), middle_{}, at_origin_(at_origin), at_insertion_(at_insertion), balls_{} {
    const HeadVector from = unit(origin - globe_centre), to = unit(insertion);
    const double angle = std::acos(std::clamp(dot(from, to), -1.0, 1.0));
    const double first = length(origin - globe_centre) - globe_radius, last = at_insertion.thickness / 2.0;
    for (std::size_t i = 0; i < middle_.size(); ++i) {
        const double t = static_cast<double>(i) / static_cast<double>(middle_.size() - 1);
        const HeadVector direction = (from * std::sin((1.0 - t) * angle) + to * std::sin(t * angle)) / std::sin(angle);
        // A parabola through both ends that passes over the middle at the clearance.
        const double height =
            first * (1.0 - t) * (1.0 - t) + 2.0 * t * (1.0 - t) * std::max(0.0, 2.0 * clearance - (first + last) / 2.0) + last * t * t;
        middle_[i] = globe_centre + direction * (globe_radius + height);
    }
    const double broadest = std::max({at_origin.width, at_origin.thickness, at_insertion.width, at_insertion.thickness}) / 2.0;
    for (std::size_t b = 0; b < balls_.size(); ++b) {
        const HeadPoint centre = middle_[4 * b + 2];
        double farthest = 0.0;
        for (std::size_t i = 4 * b; i <= 4 * b + 4; ++i) farthest = std::max(farthest, length(middle_[i] - centre));
        balls_[b] = {centre, (farthest + broadest) * (farthest + broadest)};
    }
}

bool ObliqueMuscle::may_meet(const HeadBox& box) const {
    return std::any_of(balls_.begin(), balls_.end(), [&](const Ball& ball) {
        const double nearest = box.distance(ball.centre).low;
        return nearest * nearest <= ball.squared_radius;
    });
}

bool ObliqueMuscle::contains(HeadPoint point) const {
    const HeadVector from_centre = point - centre_;
    const auto inside = [point](const Ball& ball) { return dot(point - ball.centre, point - ball.centre) <= ball.squared_radius; };
    if (std::none_of(balls_.begin(), balls_.end(), inside)) return false;
    double nearest = 1e9, along = 0.0;
    HeadVector off{};
    constexpr double segments = 16.0;
    for (std::size_t i = 0; i + 1 < middle_.size(); ++i) {
        const HeadVector step = middle_[i + 1] - middle_[i];
        const double t = std::clamp(dot(point - middle_[i], step) / dot(step, step), 0.0, 1.0);
        const HeadVector d = point - (middle_[i] + step * t);
        if (const double squared = dot(d, d); squared < nearest) {
            nearest = squared;
            along = (static_cast<double>(i) + t) / segments;
            off = d;
        }
    }
    const Breadth here{std::lerp(at_origin_.thickness, at_insertion_.thickness, along), std::lerp(at_origin_.width, at_insertion_.width, along)};
    const double out = dot(off, unit(from_centre));
    const double aside_squared = std::max(0.0, nearest - out * out);
    return out * out / (here.thickness * here.thickness / 4.0) + aside_squared / (here.width * here.width / 4.0) < 1.0;
}

}  // namespace perisclera::phantoms
