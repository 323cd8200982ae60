// SPDX-License-Identifier: Apache-2.0
#include "orbit_content.h"

#include <algorithm>
#include <cmath>

namespace perisclera::phantoms {

namespace {

// Insertions: textbook distances from the limbus. Bellies: Rana 2022 (CT, 201 orbits).
constexpr RectusMuscle::Size superior_rectus{7.7, 4.1}, inferior_rectus{6.5, 4.2}, medial_rectus{5.5, 4.2}, lateral_rectus{6.9, 3.4};
// Optic nerve with sheath about 5 mm across: between the published 4.1 and 5.6 mm.
constexpr double nerve_radius = 1.5, subarachnoid_radius = 2.0, sheath_radius = 2.5;
constexpr double nerve_nasal_deg = 13.0;  // the nerve leaves some 3 mm nasal of the posterior pole
constexpr double oblique_radius = 1.4, vein_radius = 1.0;

HeadPoint mirrored(double side, double lateral, double y, double z) { return {side * lateral, y, z}; }

double squared_distance_to_segment(HeadPoint p, HeadPoint a, HeadPoint b) {
    const HeadVector ab = b - a;
    const double t = std::clamp(dot(p - a, ab) / dot(ab, ab), 0.0, 1.0);
    const HeadVector d = p - (a + ab * t);
    return dot(d, d);
}

constexpr double squared(double x) { return x * x; }

/// Thickness and width along a rectus, by the share of its length from the insertion: tendon, belly, origin.
struct Breadth {
    double thickness, width;
};
Breadth breadth(double share, double belly) {
    const double to_belly = smooth_step(share / 0.55), to_origin = smooth_step((share - 0.55) / 0.45);
    return {0.5 + (belly - 0.5) * to_belly - (belly - 2.0) * to_origin, 9.5 - 1.0 * to_belly - 4.5 * to_origin};
}

}  // namespace

RectusMuscle::RectusMuscle(const EyePlacement& eye, const GlobeShape& globe, double clock_hour, Size size, HeadPoint origin)
    : centre_(eye.centre), radius_(globe.radius), belly_(size.belly_mm) {
    const double polar = globe.polar_angle(size.insertion_arc_mm), clock = clock_hour * pi / 6.0;
    insertion_ = eye.to_head({std::sin(polar) * std::sin(clock), std::sin(polar) * std::cos(clock), std::cos(polar)}) - eye.centre;
    const HeadVector to_origin = origin - eye.centre;
    across_ = unit(cross(insertion_, to_origin));
    towards_origin_ = cross(across_, insertion_);
    const double distance = length(to_origin);
    const double angle = std::atan2(dot(to_origin, towards_origin_), dot(to_origin, insertion_));
    contact_angle_ = std::max(0.0, angle - std::acos(radius_ / distance));
    straight_ = std::sqrt(distance * distance - radius_ * radius_);
    total_ = radius_ * contact_angle_ + straight_;
    contact_cosine_ = std::cos(contact_angle_);
    contact_sine_ = std::sin(contact_angle_);
}

bool RectusMuscle::contains(HeadPoint point) const {
    const HeadVector d = point - centre_;
    const double w = dot(d, across_);
    if (std::abs(w) > 5.0) return false;
    const double a = dot(d, insertion_), b = dot(d, towards_origin_);
    // Beyond the contact the inner face is the tangent there.
    const double beyond_contact = b * contact_cosine_ - a * contact_sine_;
    double along, height;
    if (beyond_contact < 0.0) {
        if (b < 0.0) return false;
        height = length(d) - radius_;
        if (height < 0.0 || height > belly_) return false;
        along = radius_ * std::atan2(b, a);
    } else {
        height = a * contact_cosine_ + b * contact_sine_ - radius_;
        if (height < 0.0 || height > belly_ || beyond_contact > straight_) return false;
        along = radius_ * contact_angle_ + beyond_contact;
    }
    const Breadth here = breadth(along / total_, belly_);
    const double u = (height - here.thickness / 2.0) / (here.thickness / 2.0), v = w / (here.width / 2.0);
    return u * u + v * v < 1.0;
}

HeadPoint OrbitContent::apex(Eye eye) { return mirrored(temporal_sign(eye), 15.0, 35.0, 1.0); }

OrbitContent::OrbitContent(Eye eye, const EyePlacement& placement, const GlobeShape& globe)
    : recti_{{{placement, globe, 12.0, superior_rectus, apex(eye) + HeadVector{0, 0, 3.5}},
              {placement, globe, 6.0, inferior_rectus, apex(eye) + HeadVector{0, 0, -3.5}},
              {placement, globe, eye == Eye::right ? 3.0 : 9.0, medial_rectus, apex(eye) + HeadVector{-3.0 * temporal_sign(eye), 0, 0}},
              {placement, globe, eye == Eye::right ? 9.0 : 3.0, lateral_rectus, apex(eye) + HeadVector{3.5 * temporal_sign(eye), 0, 0}}}},
      side_(temporal_sign(eye)),
      nerve_{} {
    const double nasal = nerve_nasal_deg * pi / 180.0;
    const double back = globe.radius + globe.elongation - 0.5;
    const HeadPoint exit = placement.to_head({-side_ * back * std::sin(nasal), 0.0, -back * std::cos(nasal)});
    // A nerve is longer than its way, so it sags a little; the bend takes up the eye's turning.
    const HeadPoint bend = placement.to_head({-side_ * (back + 9.0) * std::sin(nasal), 0.0, -(back + 9.0) * std::cos(nasal)}) + HeadVector{0, 0, -1.0};
    const HeadPoint end = apex(eye);
    for (std::size_t i = 0; i < nerve_.size(); ++i) {
        const double t = static_cast<double>(i) / static_cast<double>(nerve_.size() - 1);
        const HeadPoint p = exit + (bend - exit) * t, q = bend + (end - bend) * t;
        nerve_[i] = p + (q - p) * t;
    }
}

std::optional<Tissue> OrbitContent::at(HeadPoint p) const {
    for (const RectusMuscle& muscle : recti_)
        if (muscle.contains(p)) return Tissue::muscle;
    const double lateral = p.x * side_;
    if (lateral < 34.0 && p.y > 5.0 && std::abs(p.z) < 12.0) {
        double nearest = 1e9;
        for (std::size_t i = 0; i + 1 < nerve_.size(); ++i) nearest = std::min(nearest, squared_distance_to_segment(p, nerve_[i], nerve_[i + 1]));
        if (nearest < squared(nerve_radius)) return Tissue::nerve;
        if (nearest < squared(subarachnoid_radius)) return Tissue::fluid;
        if (nearest < squared(sheath_radius)) return Tissue::dura;
    }
    if (p.z > 3.0) {
        const HeadPoint trochlea = mirrored(side_, 17.0, -5.0, 12.0);
        if (lateral < 21.0 && squared_distance_to_segment(p, trochlea, mirrored(side_, 13.5, 32.0, 5.5)) < squared(oblique_radius)) return Tissue::muscle;
        if (squared_distance_to_segment(p, mirrored(side_, 20.0, -4.0, 10.5), mirrored(side_, 29.0, 20.0, 9.5)) < squared(vein_radius)) return Tissue::vessel;
        // Lacrimal gland: an almond in the upper outer orbit, flat along the wall.
        const double outward = (lateral - 43.0) * 0.79 + (p.z - 9.5) * 0.61, along = -(lateral - 43.0) * 0.61 + (p.z - 9.5) * 0.79;
        const double e = outward / 2.6, f = along / 6.0, g = (p.y + 1.0) / 7.5;
        if (e * e + f * f + g * g < 1.0) return Tissue::gland;
    }
    return std::nullopt;
}

}  // namespace perisclera::phantoms
