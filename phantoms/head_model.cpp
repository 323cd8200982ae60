// SPDX-License-Identifier: Apache-2.0
#include "head_model.h"

#include <algorithm>
#include <cmath>

namespace perisclera::phantoms {

namespace {

constexpr double eyes_apart = 31.0;   // each globe from the midline
constexpr double lid_radius = 15.3;   // of the closed lids about the globe
constexpr double skin_mm = 1.6, lid_mm = 4.0;

HeadPoint usual_centre(Eye eye) { return {temporal_sign(eye) * eyes_apart, 0.0, 0.0}; }

double ellipsoid(double x, double y, double z, double a, double b, double c) { return std::sqrt(x * x / (a * a) + y * y / (b * b) + z * z / (c * c)); }

/// Signed cell pattern: small near the planes of a bent lattice of this pitch, in units of mm.
double distance_to_septa(double x, double y, double z, double pitch) {
    const auto to_plane = [pitch](double c) { return std::abs(std::remainder(c, pitch)); };
    return std::min({to_plane(x + 0.8 * std::sin(0.35 * y)), to_plane(y + 0.9 * std::sin(0.4 * z)), to_plane(z + 0.8 * std::sin(0.3 * x + 0.2 * y))});
}

/// Depth below the skin of the face without lids, mm; negative outside. `m` is |x|.
double depth_below_skin(double m, double y, double z) {
    const double dy = (y - 80.0) / 95.0, dz = (z - 12.0) / 118.0, dx = m / 80.0;
    const double e = std::abs(dx);
    const double f = std::pow(e * e * std::sqrt(e) + std::abs(dy) * std::abs(dy) * std::sqrt(std::abs(dy)) + dz * dz, 0.4);
    double depth = (1.0 - f) * 88.0;
    const double nose = (1.0 - ellipsoid(m, y + 12.0, z + 24.0, 12.0, 22.0, 27.0)) * 14.0;
    const double brow = (1.0 - ellipsoid(m - 24.0, y + 3.0, z - 17.0, 24.0, 10.0, 8.0)) * 8.0;
    // Smooth union: the larger depth, rounded where two are alike.
    for (const double other : {nose, brow}) {
        const double h = std::clamp(0.5 + 0.5 * (other - depth) / 3.0, 0.0, 1.0);
        depth = std::lerp(depth, other, h) + 3.0 * h * (1.0 - h);
    }
    return depth;
}

/// The orbital cavity as a cone-like bowl, `m` lateral: share of the way from the axis to the wall (1 on the wall).
struct OrbitPlace {
    double forward;        ///< 0 at the apex, 1 at the opening
    double to_wall;        ///< 1 on the wall, more in the bone
    double half_breadth;   ///< mm from axis to wall in this direction, roughly
    double lateral_share, up_share;
};
OrbitPlace orbit_place(double m, double y, double z) {
    // From the apex (15, 35, 1) to the opening's middle (33, -7, -1).
    constexpr double ax = 18.0, ay = -42.0, az = -2.0;
    constexpr double squared_length = ax * ax + ay * ay + az * az;
    const double px = m - 15.0, py = y - 35.0, pz = z - 1.0;
    const double t = (px * ax + py * ay + pz * az) / squared_length;
    if (t <= 0.0) return {t, 99.0, 1.0, 0.0, 0.0};
    const double root = std::sqrt(t);
    const double swell = root * std::sqrt(root);
    const double half_width = 4.5 + 17.0 * swell, half_height = 4.0 + 14.0 * swell;
    const double u = px - t * ax, v = pz - t * az;
    const double across = u / half_width, up = v / half_height;
    const double share = std::sqrt(across * across + up * up);
    const double norm = std::max(share, 1e-9);
    return {t, share, std::hypot(u, v) / norm, across / norm, up / norm};
}

/// The bony rim lies farther back at the outer side.
double rim_y(double m) { return -9.0 + 13.0 * smooth_step((m - 30.0) / 20.0); }

double wall_thickness(const OrbitPlace& o, double y) {
    if (y < rim_y(0.0) + 6.0) return 4.0;  // the rim is stout all round
    const double lateral = std::max(0.0, o.lateral_share), medial = std::max(0.0, -o.lateral_share);
    return 1.2 + 2.3 * lateral * lateral - 0.4 * medial + 1.5 * std::max(0.0, o.up_share);
}

Tissue brain_or_skull(double m, double y, double z, double depth) {
    const double s = ellipsoid(m, y - 88.0, z - 45.0, 66.0, 82.0, 68.0);
    if (s >= 1.0) {
        const double out = (s - 1.0) * 68.0;
        if (out < 7.0) return out < 1.8 || out > 5.2 ? Tissue::cortical_bone : Tissue::spongy_bone;
        if (z > 15.0 && y < 30.0 && depth > 5.5) return depth < 7.5 ? Tissue::cortical_bone : Tissue::spongy_bone;  // frontal bone
        return Tissue::air;  // neither: the caller's soft tissue
    }
    const double in = (1.0 - s) * 68.0 - 2.5;
    if (in < 0.0) return Tissue::fluid;
    const double folds = std::sin(0.45 * m + 0.3 * z) * std::sin(0.4 * y) + std::sin(0.5 * z - 0.2 * y) * std::sin(0.35 * m + 1.0);
    if (in < 9.0 && std::abs(folds) < 0.09) return Tissue::fluid;  // sulci
    if (m < 1.2 || ellipsoid(m - 12.0, y - 85.0, z - 52.0, 7.0, 32.0, 8.0) < 1.0) return Tissue::fluid;
    return in < 3.5 + 2.0 * (1.0 + folds) ? Tissue::grey : Tissue::white;
}

/// Bone, sinuses and brain around the orbits; air where none of them is (soft tissue).
std::optional<Tissue> deep_structure(double m, double y, double z, double depth) {
    const OrbitPlace o = orbit_place(m, y, z);
    if (y > rim_y(m) && o.to_wall < 1.0 + wall_thickness(o, y) / o.half_breadth && o.to_wall >= 1.0 && o.forward < 1.25) return Tissue::cortical_bone;
    // Ethmoid cells between the orbits, the sphenoid sinus behind them.
    if (m < 11.5 && y > -4.0 && y < 33.0 && z > -9.0 && z < 10.0) {
        const double septum = distance_to_septa(m + 3.0, y, z, 8.0);
        return septum < 0.35 ? Tissue::cortical_bone : septum < 0.8 ? Tissue::mucosa : Tissue::air;
    }
    const double sphenoid = ellipsoid(m - 5.0, y - 43.0, z + 6.0, 8.0, 9.0, 8.0);
    if (sphenoid < 1.0) return sphenoid < 0.92 ? Tissue::air : Tissue::mucosa;
    if (sphenoid < 1.2) return Tissue::cortical_bone;
    const double antrum = ellipsoid(m - 31.0, y - 14.0, z + 35.0, 14.0, 15.0, 16.0);
    if (antrum < 1.0) return antrum < 0.94 ? Tissue::air : Tissue::mucosa;
    if (antrum < 1.1 && depth > 5.0) return Tissue::cortical_bone;
    if (m < 12.0 && y > -14.0 && y < 45.0 && z < -9.0 && z > -42.0) {  // nasal cavity with septum and turbinates
        if (m < 0.9) return y > 0.0 ? Tissue::cortical_bone : Tissue::mucosa;
        const double turbinate = std::sin(0.45 * z) * 2.5 + 7.0 - m;
        return m > 11.0 || (turbinate < 0.0 && y > 2.0) || m < 1.8 ? Tissue::mucosa : Tissue::air;
    }
    if (m < 12.0 && y > -15.0 && y < -4.0 && z > -12.0 && z < 14.0 && depth > 4.0) return m < 10.5 ? Tissue::spongy_bone : Tissue::cortical_bone;
    const double cheekbone = ellipsoid(m - 47.0, y - 9.0, z + 21.0, 9.0, 12.0, 7.0);
    if (cheekbone < 1.0 && depth > 4.0) return cheekbone > 0.8 ? Tissue::cortical_bone : Tissue::spongy_bone;
    if (const Tissue t = brain_or_skull(m, y, z, depth); t != Tissue::air) return t;
    return std::nullopt;
}

Tissue outer_soft_tissue(double m, double y, double z, double depth) {
    if (m > 38.0 && y > 12.0 && z > -30.0) return depth > 5.0 ? Tissue::muscle : Tissue::fat;  // temporalis
    const bool muscle_sheet = depth > 3.5 && depth < 5.5;                                    // muscles of expression
    if (muscle_sheet) return Tissue::muscle;
    return depth > 16.0 && y > 25.0 ? Tissue::muscle : Tissue::fat;
}

}  // namespace

HeadModel::HeadModel(const std::array<EyeState, 2>& eyes, const std::array<std::array<double, 2>, 2>& gaze_deg)
    : placements_{{EyePlacement::looking(usual_centre(Eye::right) + HeadVector{eyes[0].offset_mm[0], -eyes[0].offset_mm[2], eyes[0].offset_mm[1]},
                                         gaze_deg[0][0], gaze_deg[0][1]),
                   EyePlacement::looking(usual_centre(Eye::left) + HeadVector{eyes[1].offset_mm[0], -eyes[1].offset_mm[2], eyes[1].offset_mm[1]},
                                         gaze_deg[1][0], gaze_deg[1][1])}},
      eyes_{{{eyes[0], static_cast<Label>(tissue_count)}, {eyes[1], static_cast<Label>(tissue_count + eyes[0].elements.size())}}},
      contents_{{{Eye::right, placements_[0], eyes_[0].shape()}, {Eye::left, placements_[1], eyes_[1].shape()}}} {}

Label HeadModel::label_at(HeadPoint p) const {
    const std::size_t side = p.x < 0.0 ? 0 : 1;
    const EyeModel& eye = eyes_[side];
    HeadPoint soft = p;
    bool cleft = false;
    const HeadVector from_centre = p - placements_[side].centre;
    if (dot(from_centre, from_centre) < eye.reach_mm() * eye.reach_mm()) {
        const EyePoint local = placements_[side].to_eye(p);
        if (const auto found = eye.label_at(local)) return *found;
        const auto before = eye.before_displacement(local);
        cleft = !before;
        if (before) soft = placements_[side].to_head(*before);
    }
    // Bone and sinuses stay where they are; soft tissue is looked up where it lay before it was pushed aside.
    const double m = std::abs(p.x), soft_m = std::abs(soft.x);
    const HeadPoint lids = usual_centre(side == 0 ? Eye::right : Eye::left);
    const double lid_depth = lid_radius - length(soft - (lids + HeadVector{0.0, 0.6, 0.0}));
    const double depth = std::max(depth_below_skin(soft_m, soft.y, soft.z), lid_depth);
    if (!cleft) {
        if (depth < 0.0) return label(Tissue::air);
        if (depth < skin_mm) return label(Tissue::skin);
    }
    const OrbitPlace o = orbit_place(m, p.y, p.z);
    if (o.to_wall >= 1.0 || p.y < rim_y(m)) {
        if (!cleft && (o.to_wall >= 1.0 || o.forward < 0.8))
            if (const auto deep = deep_structure(m, p.y, p.z, depth)) return label(*deep);
        if (o.to_wall >= 1.15) return label(outer_soft_tissue(m, p.y, p.z, depth));
    }
    if (cleft) return label(Tissue::fat);
    if (depth < lid_mm && soft.y < 2.0) return label(Tissue::lid);
    if (const auto content = contents_[side].at(soft)) return label(*content);
    return label(Tissue::fat);
}

bool HeadModel::near_thin_layers(HeadPoint p, double margin) const {
    const std::size_t side = p.x < 0.0 ? 0 : 1;
    const auto [low, high] = eyes_[side].thin_layers_mm();
    const double r = length(p - placements_[side].centre);
    return r > low - margin && r < high + margin;
}

bool HeadModel::in_orbits(HeadPoint p) const {
    const HeadPoint centre = placements_[p.x < 0.0 ? 0 : 1].centre;
    return length(p - centre) < 24.0;
}

}  // namespace perisclera::phantoms
