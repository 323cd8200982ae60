// SPDX-License-Identifier: Apache-2.0
#include "orbit_look_alike.h"

#include <algorithm>
#include <cmath>

#include "fluid_level.h"
#include "orbit_place.h"

namespace perisclera::phantoms {

namespace {

constexpr double degree = pi / 180.0;
// Common practice, no source: how far behind the rim plates begin; holes of a mesh; how deep in the lid and how high a weight lies.
constexpr double behind_floor_rim_mm = 3.0, behind_medial_rim_mm = 5.0;
constexpr double mesh_pitch_mm = 4.0, mesh_hole_mm = 2.6;
constexpr double beneath_skin_mm = 1.7, lid_elevation = 38.0 * degree;
constexpr double strand_pitch_mm = 3.0, half_strand_mm = 0.4, stranding_mm = 5.0;

/// A place on an orbital wall: distance from it, and along it across the orbit and from its rim backwards, mm.
struct WallPlace {
    double off, across, behind;
};

using OnWall = std::function<WallPlace(HeadPoint)>;

OnWall on_wall(const OrbitFrame& frame, OrbitWall wall) {
    const bool floor = wall == OrbitWall::floor;
    return [lateral = temporal_sign(frame.eye) / frame.anatomy.breadth(), scale = frame.anatomy.orbit_scale, floor](HeadPoint p) {
        const double m = p.x * lateral;
        const OrbitPlace o = orbit_place(m, p.y, p.z, scale);
        const double angle = floor ? std::atan2(o.lateral_share, -o.up_share) : std::atan2(o.up_share, -o.lateral_share);
        return WallPlace{(1.0 - o.to_wall) * o.half_breadth, angle * o.half_breadth, p.y - rim_y(m) - (floor ? behind_floor_rim_mm : behind_medial_rim_mm)};
    };
}

/// Near the middle of a wall's front half.
HeadPoint middle_of(const OrbitFrame& f, OrbitWall wall) {
    const double x = temporal_sign(f.eye) * f.anatomy.breadth();
    return wall == OrbitWall::floor ? HeadPoint{x * 28.0, 8.0, -12.0} : HeadPoint{x * 14.0, 8.0, 0.0};
}

OrbitPart plate(const OrbitFrame& f, const LookAlike& l, std::size_t index) {
    const bool mesh = l.material == LookAlikeMaterial::titanium_mesh;
    const auto outside = [place = on_wall(f, l.wall), size = l.size_mm, mesh](HeadPoint p) {
        const WallPlace at = place(p);
        const auto [across, along, thickness] = size;
        const double sheet = std::max({-at.off, at.off - thickness, std::abs(at.across) - across / 2.0, -at.behind, at.behind - along});
        if (!mesh) return sheet;
        const double from_hole = std::hypot(std::remainder(at.across, mesh_pitch_mm), std::remainder(at.behind - mesh_pitch_mm / 2.0, mesh_pitch_mm));
        return std::max(sheet, mesh_hole_mm / 2.0 - from_hole);
    };
    const Tissue made_of = l.material == LookAlikeMaterial::polyethylene ? Tissue::polyethylene : Tissue::titanium;
    return {index, middle_of(f, l.wall), 28.0, true, outside, [made_of](HeadPoint) { return made_of; }};
}

/// Between the periosteum and the medial wall, thickest in its middle.
OrbitPart abscess(const OrbitFrame& f, const LookAlike& l, std::size_t index) {
    const auto outside = [place = on_wall(f, OrbitWall::medial), size = l.size_mm](HeadPoint p) {
        const WallPlace at = place(p);
        const double u = 2.0 * at.across / size[0], v = 2.0 * (at.behind - size[1] / 2.0) / size[1];
        return std::max(-at.off, at.off - size[2] * (1.0 - u * u - v * v));
    };
    OrbitPart part{index, middle_of(f, OrbitWall::medial), 26.0, false, outside, [](HeadPoint) { return Tissue::pus; }, stranding_mm};
    if (l.gas_share == 0.0) return part;
    const HeadVector up = f.down * -1.0;
    const double level = fluid_level<HeadFrame>(l.gas_share, up, part.middle, part.reach_mm, [&](HeadPoint p) { return outside(p) < 0.0; }).along_down_mm;
    part.inside = [level, up, middle = part.middle](HeadPoint p) { return dot(p - middle, up) > level ? Tissue::air : Tissue::pus; };
    return part;
}

/// A plate bent about the globe in the upper lid, in front of the tarsus.
OrbitPart eyelid_weight(const OrbitFrame& f, const LookAlike& l, std::size_t index) {
    const double outer = f.anatomy.lid_radius_mm - beneath_skin_mm, radius = outer - l.size_mm[2] / 2.0;
    const auto outside = [lids = f.lids, size = l.size_mm, radius](HeadPoint p) {
        const HeadVector d = p - lids;
        const double r = length(d), elevation = std::asin(std::clamp(d.z / std::max(r, 1e-9), -1.0, 1.0)), azimuth = std::atan2(d.x, -d.y);
        return std::max({std::abs(r - radius) - size[2] / 2.0, radius * std::cos(lid_elevation) * std::abs(azimuth) - size[0] / 2.0,
                         radius * std::abs(elevation - lid_elevation) - size[1] / 2.0});
    };
    const HeadPoint middle = f.lids + HeadVector{0.0, -std::cos(lid_elevation), std::sin(lid_elevation)} * radius;
    const Tissue made_of = l.material == LookAlikeMaterial::gold ? Tissue::gold : Tissue::platinum;
    return {index, middle, std::hypot(l.size_mm[0], l.size_mm[1]) / 2.0 + l.size_mm[2] + 2.0, true, outside, [made_of](HeadPoint) { return made_of; }};
}

/// A straight rod with round ends beside the globe, along the meridian of its middle.
OrbitPart splinter(const OrbitFrame& f, const LookAlike& l, std::size_t index) {
    const auto [length_mm, diameter_mm, unused] = l.size_mm;
    const double polar = GlobeShape::sphere(f.globe_radius_mm).polar_angle(*l.limbus_mm), clock = *l.hour * pi / 6.0;
    const auto in_meridian = [&](double outwards, double backwards) { return EyePoint{outwards * std::sin(clock), outwards * std::cos(clock), -backwards}; };
    const double r = f.globe_radius_mm + l.gap_mm + diameter_mm / 2.0;
    const HeadPoint middle = f.straight.to_head(in_meridian(r * std::sin(polar), -r * std::cos(polar)));
    const HeadVector along = f.straight.to_head(in_meridian(std::cos(polar), std::sin(polar))) - f.straight.centre;
    const auto outside = [middle, along, half = (length_mm - diameter_mm) / 2.0, radius = diameter_mm / 2.0](HeadPoint p) {
        const HeadVector d = p - middle;
        return length(d - along * std::clamp(dot(d, along), -half, half)) - radius;
    };
    return {index, middle, length_mm / 2.0 + 0.1, false, outside, [](HeadPoint) { return Tissue::wood; }};
}

}  // namespace

std::optional<Tissue> OrbitPart::at(HeadPoint p, Tissue there) const {
    if (length(p - middle) >= reach_mm) return std::nullopt;
    const double outside = outside_mm(p);
    if (outside < 0.0) return inside(p);
    if (there == Tissue::fat && outside < stranding_mm && distance_to_septa(p.x, p.y, p.z, strand_pitch_mm) < half_strand_mm) return Tissue::lid;
    return std::nullopt;
}

bool gives_way(Label there) {
    for (const Tissue soft : {Tissue::fat, Tissue::muscle, Tissue::lid, Tissue::gland, Tissue::vessel})
        if (there == label(soft)) return true;
    return false;
}

std::vector<OrbitPart> parts_in_orbit(const OrbitFrame& frame, const std::vector<LookAlike>& look_alikes) {
    std::vector<OrbitPart> parts;
    for (std::size_t i = 0; i < look_alikes.size(); ++i) switch (look_alikes[i].kind) {
            case LookAlikeKind::fracture_plate: parts.push_back(plate(frame, look_alikes[i], i)); break;
            case LookAlikeKind::eyelid_weight: parts.push_back(eyelid_weight(frame, look_alikes[i], i)); break;
            case LookAlikeKind::abscess: parts.push_back(abscess(frame, look_alikes[i], i)); break;
            case LookAlikeKind::wood_splinter: parts.push_back(splinter(frame, look_alikes[i], i)); break;
            default: break;
        }
    return parts;
}

}  // namespace perisclera::phantoms
