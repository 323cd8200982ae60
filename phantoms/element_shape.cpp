// SPDX-License-Identifier: Apache-2.0
#include "element_shape.h"

#include <algorithm>
#include <cmath>

namespace perisclera::phantoms {

namespace {

constexpr double lift_decay_mm = 3.0;
constexpr double dent_decay_mm = 2.5;
constexpr double ramp_mm = 4.0;   // along which a raised ring comes down to the sclera
constexpr int steps = 600;        // of the midpoint rule along and across; the integrands are smooth
constexpr int fine_steps = 4800;  // along, where ends of overlaps and fragments are steps

double cube(double x) { return x * x * x; }

double wrapped(double angle) { return std::remainder(angle, 2.0 * pi); }

}  // namespace

ElementShape::ElementShape(const Element& element, const GlobeShape& globe) : element_(element), globe_(globe), middle_{0, 0, 1}, largest_v_(0.0), highest_(0.0) {
    const double span_hours = is_ring() ? 12.0 : std::fmod(element.to_hour - element.from_hour + 12.0, 12.0);
    middle_hour_ = is_ring() ? 0.0 : (element.from_hour + span_hours / 2.0) * pi / 6.0;
    middle_polar_ = globe.polar_angle(element.limbus_mm);
    half_along_ = is_radial() ? element.length_mm / 2.0 / globe.radius : span_hours / 2.0 * pi / 6.0;
    half_along_mm_ = globe.radius * half_along_ * (is_radial() ? 1.0 : std::sin(middle_polar_));
    const double around = std::max(lift_decay_mm, dent_decay_mm) / globe.radius;
    const double half_width = element.width_mm / 2.0 / globe.radius;
    // An arc of a small circle spans at most its clock angle as seen from the centre.
    const double reach = is_radial() ? std::hypot(half_along_, half_width) : half_along_ + half_width;
    nearest_cosine_ = reach + around < pi ? std::cos(reach + around) : -1.0;
    const double meridional = (is_radial() ? reach : half_width) + around;
    axis_cosine_low_ = std::cos(std::min(pi, middle_polar_ + meridional));
    axis_cosine_high_ = std::cos(std::max(0.0, middle_polar_ - meridional));
    middle_ = {std::sin(middle_polar_) * std::sin(middle_hour_), std::sin(middle_polar_) * std::cos(middle_hour_), std::cos(middle_polar_)};
    highest_ = element.thickness_mm * (element.overlap.length_mm > 0.0 ? 2.0 : 1.0) + element.raised.height_mm;
    double largest = area(largest_v_);
    for (int i = 0; varies() && i < steps; ++i) {
        const double v = -1.0 + (2.0 * i + 1.0) / steps;
        if (const double here = area(v); here > largest) largest = here, largest_v_ = v;
    }
}

ElementShape::Place ElementShape::place(EyeVector n) const {
    const double towards_left = std::sin(middle_hour_), superior = std::cos(middle_hour_);
    if (is_radial()) {
        // Great circles: the angle along the meridian through the middle, and the angle away from it.
        const double along = std::atan2(n.x * towards_left + n.y * superior, n.z);
        const double away = std::asin(std::clamp(n.x * superior - n.y * towards_left, -1.0, 1.0));
        return {(along - middle_polar_) / half_along_, globe_.radius * away};
    }
    const double lateral = globe_.radius * (std::acos(std::clamp(n.z, -1.0, 1.0)) - middle_polar_);
    if (is_ring() && !varies() && element_.fragments == 1) return {0.0, lateral};  // the same all round
    return {wrapped(std::atan2(n.x, n.y) - middle_hour_) / half_along_, lateral};
}

ElementShape::Profile ElementShape::profile(double v) const {
    if (element_.form == Form::irregular) return irregular_profile(v);
    Profile p{element_.width_mm / 2.0, element_.thickness_mm, element_.indentation_mm, 0.0};
    if (const auto& o = element_.overlap; o.length_mm > 0.0 && beyond_arc(v, o.hour, o.hour) <= o.length_mm / 2.0) p.thickness *= 2.0;
    if (const auto& r = element_.raised; r.height_mm > 0.0) {
        const double share = 1.0 - smooth_step(beyond_arc(v, r.from_hour, r.to_hour) / ramp_mm);
        p.dent *= 1.0 - share;
        p.raised = r.height_mm * share;
    }
    return p;
}

double ElementShape::beyond_arc(double v, double from_hour, double to_hour) const {
    const double half = std::fmod(to_hour - from_hour + 12.0, 12.0) / 2.0 * pi / 6.0;
    const double off = std::abs(wrapped(middle_hour_ + v * half_along_ - from_hour * pi / 6.0 - half));
    return std::max(0.0, off - half) * globe_.radius * std::sin(middle_polar_);
}

bool ElementShape::in_gap(double v) const {
    if (element_.fragments == 1) return false;
    // Pieces of equal length; a ring has as many gaps as pieces, of which one lies where v is -1 and 1.
    const double piece = 2.0 / element_.fragments, off = std::abs(std::remainder(v + 1.0, piece));
    const bool at_end = std::abs(v) > 1.0 - piece / 2.0;
    return (is_ring() || !at_end) && off * half_along_mm_ < element_.gap_mm / 2.0;
}

int ElementShape::steps_along() const { return element_.fragments > 1 || (varies() && element_.form != Form::irregular) ? fine_steps : steps; }

ElementShape::Profile ElementShape::irregular_profile(double v) const {
    Profile p{element_.width_mm / 2.0, element_.thickness_mm, element_.indentation_mm, 0.0};
    const double taper = std::sqrt(std::max(0.0, 1.0 - v * v));
    if (element_.lumpiness == 0.0) return {p.half_width * taper, p.thickness * taper, p.dent * taper, 0.0};  // an ellipsoid
    // A swollen mass: thickest off its middle, lumpy, tapering to nothing at both ends. Scaled to reach the stated thickness.
    const double lumps = (1.0 + element_.lumpiness * std::sin(4.2 * v + 0.9)) / (1.0 + element_.lumpiness);
    p.thickness *= taper * lumps;
    p.half_width *= std::sqrt(taper) * (1.0 + 0.06 * std::sin(5.1 * v)) / 1.06;
    p.dent *= taper;
    p.dent = std::min(p.dent, p.thickness);
    return p;
}

std::array<double, 2> ElementShape::faces(const Profile& p, double lateral) const {
    if (element_.section == Section::rectangle) {
        const double groove = std::abs(lateral) < element_.groove.width_mm / 2.0 ? element_.groove.depth_mm : 0.0;
        return {p.raised - p.dent, p.raised + p.thickness - p.dent - groove};
    }
    const double u = p.half_width > 0.0 ? lateral / p.half_width : 1.0;
    const double half = p.thickness / 2.0 * std::sqrt(std::max(0.0, 1.0 - u * u));
    const double middle = p.raised + p.thickness / 2.0 - p.dent;
    return {middle - half, middle + half};
}

bool ElementShape::far_from(EyeVector direction) const {
    return direction.z < axis_cosine_low_ || direction.z > axis_cosine_high_ || dot(direction, middle_) < nearest_cosine_;
}

bool ElementShape::contains(EyeVector direction, double height) const {
    if (height > highest_ || height < -element_.indentation_mm || far_from(direction)) return false;
    const Place at = place(direction);
    if (std::abs(at.v) > 1.0 || in_gap(at.v)) return false;
    const Profile p = profile(at.v);
    if (std::abs(at.lateral) > p.half_width) return false;
    const auto [inner, outer] = faces(p, at.lateral);
    return height >= inner && height <= outer;
}

double ElementShape::beside(const Place& at, const Profile& p) const {
    const double across = std::max(0.0, std::abs(at.lateral) - p.half_width), along = std::max(0.0, std::abs(at.v) - 1.0) * half_along_mm_;
    return std::sqrt(across * across + along * along);
}

double ElementShape::lift(EyeVector direction) const {
    if (far_from(direction)) return 0.0;
    const Place at = place(direction);
    const Profile p = profile(std::clamp(at.v, -1.0, 1.0));
    const double top = std::max(0.0, faces(p, std::clamp(at.lateral, -p.half_width, p.half_width))[1]);
    return top * (1.0 - smooth_step(beside(at, p) / lift_decay_mm));
}

double ElementShape::dent(EyeVector direction) const {
    if (far_from(direction)) return 0.0;
    const Place at = place(direction);
    const Profile p = profile(std::clamp(at.v, -1.0, 1.0));
    const double pressed = p.dent * (1.0 - smooth_step(beside(at, p) / dent_decay_mm));
    // Wherever the element itself reaches deeper, the wall gives way.
    return std::abs(at.v) <= 1.0 && std::abs(at.lateral) <= p.half_width ? std::max(pressed, -faces(p, at.lateral)[0]) : pressed;
}

double ElementShape::volume_mm3() const {
    const double R = globe_.radius;
    const int along = steps_along();
    double sum = 0.0;
    for (int i = 0; i < along; ++i) {
        const double v = -1.0 + (2.0 * i + 1.0) / along;
        if (in_gap(v)) continue;
        const Profile p = profile(v);
        for (int j = 0; j < steps; ++j) {
            // lateral = half width * sin(a): the ellipse's vertical ends become smooth in a.
            const double a = pi * ((j + 0.5) / steps - 0.5);
            const double lateral = p.half_width * std::sin(a);
            const auto [inner, outer] = faces(p, lateral);
            const double angle = lateral / R;
            const double metric = is_radial() ? std::cos(angle) : std::sin(middle_polar_ + angle);
            sum += (cube(R + outer) - cube(R + inner)) / 3.0 * metric * std::cos(a) * p.half_width / R;
        }
    }
    return sum * (pi / steps) * (2.0 * half_along_ / along);
}

double ElementShape::area(double v) const {
    const double R = globe_.radius;
    const Profile p = profile(v);
    double sum = 0.0;
    for (int j = 0; j < steps; ++j) {
        const double a = pi * ((j + 0.5) / steps - 0.5);
        const auto [inner, outer] = faces(p, p.half_width * std::sin(a));
        sum += ((R + outer) * (R + outer) - (R + inner) * (R + inner)) / 2.0 * std::cos(a) * p.half_width / R;
    }
    return sum * pi / steps;
}

TrueSection ElementShape::largest_section() const {
    const Profile p = profile(largest_v_);
    double hour = is_radial() ? element_.from_hour : (middle_hour_ + largest_v_ * half_along_) * 6.0 / pi;
    hour = std::fmod(hour + 12.0, 12.0);
    return {hour, 2.0 * p.half_width, p.thickness, area(largest_v_)};
}

std::array<double, 2> ElementShape::limbus_extent_mm() const {
    if (is_radial()) return {element_.limbus_mm - element_.length_mm / 2.0, element_.limbus_mm + element_.length_mm / 2.0};
    double widest = 0.0;
    for (int i = 0; i < steps; ++i) widest = std::max(widest, profile(-1.0 + (2.0 * i + 1.0) / steps).half_width);
    return {element_.limbus_mm - widest, element_.limbus_mm + widest};
}

std::array<double, 3> ElementShape::clock_extent() const {
    if (is_ring()) return {0.0, 0.0, 12.0};
    if (!is_radial()) return {std::fmod(element_.from_hour, 12.0), std::fmod(element_.to_hour, 12.0), half_along_ * 12.0 / pi};
    // The long edges are small circles beside the meridian; seen from the axis they spread most at the end nearest to the pole.
    const double away = element_.width_mm / 2.0 / globe_.radius;
    double half = 0.0;
    for (const double along : {middle_polar_ - half_along_, middle_polar_ + half_along_})
        half = std::max(half, std::atan2(std::sin(away), std::cos(away) * std::sin(along)));
    const double hours = half * 6.0 / pi;
    return {std::fmod(element_.from_hour - hours + 12.0, 12.0), std::fmod(element_.from_hour + hours, 12.0), 2.0 * hours};
}

}  // namespace perisclera::phantoms
