// SPDX-License-Identifier: Apache-2.0
#include "orbit_content.h"

#include <algorithm>
#include <cmath>

#include "rectus_clock.h"

namespace perisclera::phantoms {

namespace {

// Radii of the optic nerve, the fluid round it and its sheath, as shares of the sheath's.
constexpr double nerve_share = 0.6, subarachnoid_share = 0.8;
constexpr double nerve_nasal_deg = 13.0;  // the nerve leaves some 3 mm nasal of the posterior pole
constexpr double vein_radius = 1.0;

HeadPoint mirrored(double side, double lateral, double y, double z) { return {side * lateral, y, z}; }
HeadPoint mirrored(double side, HeadPoint left) { return mirrored(side, left.x, left.y, left.z); }

double squared_distance_to_segment(HeadPoint p, HeadPoint a, HeadPoint b) {
    const HeadVector ab = b - a;
    const double t = std::clamp(dot(p - a, ab) / dot(ab, ab), 0.0, 1.0);
    const HeadVector d = p - (a + ab * t);
    return dot(d, d);
}

constexpr double squared(double x) { return x * x; }

// On the left side.
constexpr HeadPoint oblique_origin{13.5, 32.0, 5.5};
constexpr std::array<HeadPoint, 2> vein{{{20.0, -4.0, 10.5}, {29.0, 20.0, 9.5}}};

constexpr std::array nearby_recti{Nearby::superior_rectus, Nearby::inferior_rectus, Nearby::medial_rectus, Nearby::lateral_rectus};

/// Thickness and width along a rectus, by the share of its length from the insertion: tendon, belly, origin.
struct Breadth {
    double thickness, width;
};
Breadth breadth(double share, double belly, double insertion_width) {
    const double to_belly = smooth_step(share / 0.55), to_origin = smooth_step((share - 0.55) / 0.45);
    return {0.5 + (belly - 0.5) * to_belly - (belly - 2.0) * to_origin, insertion_width - 1.0 * to_belly - 4.5 * to_origin};
}

RectusMuscle rectus(Eye eye, const EyePlacement& placement, const GlobeShape& globe, const EyeAnatomy& anatomy, Rectus which, HeadPoint origin) {
    return {placement, globe, rectus_clock_hour(eye, which), anatomy.rectus(which), origin};
}

}  // namespace

RectusMuscle::RectusMuscle(const EyePlacement& eye, const GlobeShape& globe, double clock_hour, const RectusAnatomy& anatomy, HeadPoint origin)
    : centre_(eye.centre), radius_(globe.radius), belly_(anatomy.belly_mm), width_(anatomy.insertion_width_mm) {
    const double polar = globe.polar_angle(anatomy.insertion_mm), clock = clock_hour * pi / 6.0;
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
    if (std::abs(w) > width_ / 2.0) return false;
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
    const Breadth here = breadth(along / total_, belly_, width_);
    const double u = (height - here.thickness / 2.0) / (here.thickness / 2.0), v = w / (here.width / 2.0);
    return u * u + v * v < 1.0;
}

bool RectusMuscle::may_meet(const HeadBox& box) const {
    const Range b = box.along(towards_origin_, centre_);
    if (!box.along(across_, centre_).meets(-width_ / 2.0, width_ / 2.0)) return false;
    const Range beyond_contact = box.along(towards_origin_ * contact_cosine_ - insertion_ * contact_sine_, centre_);
    const bool on_globe = beyond_contact.low < 0.0 && b.high >= 0.0 && box.distance(centre_).meets(radius_, radius_ + belly_);
    const Range height = box.along(insertion_ * contact_cosine_ + towards_origin_ * contact_sine_, centre_) - radius_;
    return on_globe || (beyond_contact.meets(0.0, straight_) && height.meets(0.0, belly_));
}

OrbitContent::OrbitContent(Eye eye, const EyePlacement& placement, const GlobeShape& globe, const EyeAnatomy& anatomy)
    : apex_(mirrored(temporal_sign(eye), 15.0 * anatomy.breadth(), 35.0, 1.0)),
      side_(temporal_sign(eye)),
      anatomy_(anatomy),
      recti_{{rectus(eye, placement, globe, anatomy, Rectus::superior, apex_ + HeadVector{0, 0, 3.5}),
              rectus(eye, placement, globe, anatomy, Rectus::inferior, apex_ + HeadVector{0, 0, -3.5}),
              rectus(eye, placement, globe, anatomy, Rectus::medial, apex_ + HeadVector{-3.0 * temporal_sign(eye), 0, 0}),
              rectus(eye, placement, globe, anatomy, Rectus::lateral, apex_ + HeadVector{3.5 * temporal_sign(eye), 0, 0})}},
      nerve_{} {
    if (anatomy.whole_obliques) {
        // Both insert behind the equator on the temporal side, the superior's tendon above and beneath the superior rectus, the inferior
        // oblique beside the middle, having passed beneath the inferior rectus. Common practice, no source.
        const auto towards = [&](double temporal, double superior, double anterior) {
            return placement.to_head({side_ * temporal, superior, anterior}) - placement.centre;
        };
        const HeadPoint trochlea = mirrored(side_, 17.0 * anatomy.breadth(), -5.0 + anatomy.setback_mm, 12.0);
        const HeadPoint lacrimal_fossa = mirrored(side_, 20.0 * anatomy.breadth(), -9.0 + anatomy.setback_mm, -14.0);
        using Breadth = ObliqueMuscle::Breadth;
        obliques_.emplace_back(placement.centre, globe.radius, trochlea, Breadth{2.0, 2.5}, towards(0.35, 0.75, -0.56), Breadth{0.8, 10.0}, 0.8);
        obliques_.emplace_back(placement.centre, globe.radius, lacrimal_fossa, Breadth{2.5, 4.0}, towards(0.80, -0.17, -0.58), Breadth{1.2, 9.0}, 4.0);
    }
    const double nasal = nerve_nasal_deg * pi / 180.0;
    const double back = globe.outer({0.0, 0.0, -1.0}) - 0.5;
    const HeadPoint exit = placement.to_head({-side_ * back * std::sin(nasal), 0.0, -back * std::cos(nasal)});
    // A nerve is longer than its way, so it sags a little; the bend takes up the eye's turning.
    const HeadPoint bend = placement.to_head({-side_ * (back + 9.0) * std::sin(nasal), 0.0, -(back + 9.0) * std::cos(nasal)}) + HeadVector{0, 0, -1.0};
    const HeadPoint end = apex_;
    for (std::size_t i = 0; i < nerve_.size(); ++i) {
        const double t = static_cast<double>(i) / static_cast<double>(nerve_.size() - 1);
        const HeadPoint p = exit + (bend - exit) * t, q = bend + (end - bend) * t;
        nerve_[i] = p + (q - p) * t;
    }
}

bool OrbitContent::in_oblique(HeadPoint p) const {
    return std::any_of(obliques_.begin(), obliques_.end(), [p](const ObliqueMuscle& muscle) { return muscle.contains(p); });
}

std::optional<Tissue> OrbitContent::at(HeadPoint p, Locality near) const {
    for (std::size_t i = 0; i < recti_.size(); ++i)
        if (near.may_be(nearby_recti[i]) && recti_[i].contains(p)) return Tissue::muscle;
    if (near.may_be(Nearby::obliques) && in_oblique(p)) return Tissue::muscle;
    // What does not turn with the eye keeps its proportion to the bones.
    const HeadPoint usual{p.x / anatomy_.breadth(), p.y, p.z};
    const double lateral = usual.x * side_;
    if (near.may_be(Nearby::nerve) && lateral < 34.0 && p.y > 5.0 && std::abs(p.z) < 12.0) {
        double nearest = 1e9;
        for (std::size_t i = 0; i + 1 < nerve_.size(); ++i) nearest = std::min(nearest, squared_distance_to_segment(p, nerve_[i], nerve_[i + 1]));
        const double sheath = anatomy_.nerve_sheath_mm / 2.0;
        if (nearest < squared(nerve_share * sheath)) return Tissue::nerve;
        if (nearest < squared(subarachnoid_share * sheath)) return Tissue::fluid;
        if (nearest < squared(sheath)) return Tissue::dura;
    }
    if (p.z > 3.0) {
        if (near.may_be(Nearby::superior_oblique) && lateral < 21.0 &&
            squared_distance_to_segment(usual, mirrored(side_, trochlea()), mirrored(side_, oblique_origin)) < squared(anatomy_.superior_oblique_mm / 2.0))
            return Tissue::muscle;
        if (near.may_be(Nearby::vein) && squared_distance_to_segment(usual, mirrored(side_, vein[0]), mirrored(side_, vein[1])) < squared(vein_radius))
            return Tissue::vessel;
        if (near.may_be(Nearby::gland) && in_gland(lateral, p.y, p.z)) return Tissue::gland;
    }
    return std::nullopt;
}

/// Lacrimal gland: an almond in the upper outer orbit, flat along the wall.
bool OrbitContent::in_gland(double lateral, double y, double z) const {
    const double outward = (lateral - 43.0) * 0.79 + (z - 9.5) * 0.61, along = -(lateral - 43.0) * 0.61 + (z - 9.5) * 0.79;
    const double e = outward / 2.6, f = along / 6.0, g = (y + 1.0 - anatomy_.setback_mm) / 7.5;
    return e * e + f * f + g * g < squared(anatomy_.gland_scale);
}

void OrbitContent::note(Locality& near, const HeadBox& box) const {
    for (std::size_t i = 0; i < recti_.size(); ++i) near.add(nearby_recti[i], recti_[i].may_meet(box));
    near.add(Nearby::obliques, std::any_of(obliques_.begin(), obliques_.end(), [&](const ObliqueMuscle& muscle) { return muscle.may_meet(box); }));
    const auto may_meet = [](const HeadBox& there, HeadPoint a, HeadPoint b, double radius) {
        return squared_distance_to_segment(there.middle(), a, b) < squared(radius + there.half_diagonal());
    };
    bool nerve = false;
    for (std::size_t i = 0; i + 1 < nerve_.size(); ++i) nerve = nerve || may_meet(box, nerve_[i], nerve_[i + 1], anatomy_.nerve_sheath_mm / 2.0);
    near.add(Nearby::nerve, nerve);
    const HeadBox face = box.in_usual_face(anatomy_.breadth());
    near.add(Nearby::superior_oblique, may_meet(face, trochlea(), oblique_origin, anatomy_.superior_oblique_mm / 2.0));
    near.add(Nearby::vein, may_meet(face, vein[0], vein[1], vein_radius));
    // The almond's longest half axis.
    near.add(Nearby::gland, face.distance({43.0, anatomy_.setback_mm - 1.0, 9.5}).low < 7.5 * anatomy_.gland_scale);
}

}  // namespace perisclera::phantoms
