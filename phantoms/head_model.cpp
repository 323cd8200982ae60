// SPDX-License-Identifier: Apache-2.0
#include "head_model.h"

#include <algorithm>
#include <cmath>

#include "orbit_place.h"

namespace perisclera::phantoms {

namespace {

constexpr double skin_mm = 1.6, lid_mm = 4.0;

HeadPoint usual_centre(Eye eye, const EyeAnatomy& anatomy) { return {temporal_sign(eye) * anatomy.from_midline_mm, anatomy.setback_mm, 0.0}; }

EyePlacement placed(Eye eye, const EyeState& state, const std::array<double, 2>& gaze_deg) {
    const HeadPoint centre = usual_centre(eye, state.anatomy) + HeadVector{state.offset_mm[0], -state.offset_mm[2], state.offset_mm[1]};
    if (!state.anatomy.torsion_deg) return EyePlacement::looking(centre, gaze_deg[0], gaze_deg[1]);
    return EyePlacement::listing(centre, gaze_deg[0], gaze_deg[1], *state.anatomy.torsion_deg);
}

double ellipsoid(double x, double y, double z, double a, double b, double c) { return std::sqrt(x * x / (a * a) + y * y / (b * b) + z * z / (c * c)); }

/// Depth below the skin of the face without lids, mm; negative outside; exact near the skin, where layers are thin. `m` is |x|.
/// The sockets lie deeper by `setback` than in a usual face.
double depth_below_skin(double m, double y, double z, double setback) {
    const double dx = m / 80.0, dy = std::abs(y - 80.0) / 95.0, dz = (z - 12.0) / 118.0;
    const double f = dx * dx * std::sqrt(dx) + dy * dy * std::sqrt(dy) + dz * dz;
    double depth = (1.0 - f) * 35.0;
    if (setback > 0.0) depth -= setback * (1.0 - smooth_step((std::sqrt((m - 31.0) * (m - 31.0) + z * z) - 8.0) / 12.0));  // ends at the rims
    // Smooth union: the larger depth, rounded where two are alike.
    const auto join = [&depth](double other) {
        const double h = std::clamp(0.5 + 0.5 * (other - depth) / 3.0, 0.0, 1.0);
        depth = std::lerp(depth, other, h) + 3.0 * h * (1.0 - h);
    };
    if (depth > 20.0 || depth < -60.0) return depth;
    if (m < 18.0 && y < 16.0) join((1.0 - ellipsoid(m, y + 12.0, z + 24.0, 12.0, 22.0, 27.0)) * 14.0);  // nose
    if (z > 6.0 && z < 28.0 && y < 10.0) join((1.0 - ellipsoid(m - 24.0, y + 3.0, z - 17.0, 24.0, 10.0, 8.0)) * 8.0);  // brow
    return depth;
}

/// The medial wall is paper-thin; the lateral one is stout at its rim and where the great wing of the sphenoid meets the skull, thin between.
double wall_thickness(const OrbitPlace& o, double y) {
    if (y < rim_y(0.0) + 6.0) return 4.0;  // the rim is stout all round
    const double lateral = std::max(0.0, o.lateral_share), medial = std::max(0.0, -o.lateral_share);
    const double rim = 6.0 * (1.0 - smooth_step((y - 6.0) / 9.0)), great_wing = 4.0 * smooth_step((y - 18.0) / 8.0);
    return 1.2 + lateral * lateral * (0.5 + rim + great_wing) - 0.6 * medial + 1.5 * std::max(0.0, o.up_share);
}

/// Folds of the brain's surface and of the planes between muscles: about -1 to 1.
double folds(double m, double y, double z) {
    return std::sin(0.45 * m + 0.3 * z) * std::sin(0.4 * y) + std::sin(0.5 * z - 0.2 * y) * std::sin(0.35 * m + 1.0);
}

/// Depth below the inner table of the skull, the frontal lobes over the orbits left out; negative outside.
double depth_in_cerebrum(double m, double y, double z) { return (1.0 - ellipsoid(m, y - 88.0, z - 45.0, 66.0, 82.0, 68.0)) * 68.0; }

std::optional<Tissue> brain_or_skull(double m, double y, double z, double depth) {
    // The cerebrum, and the frontal lobes over the orbits: depth below the inner table.
    const double whole = depth_in_cerebrum(m, y, z);
    const double frontal = (1.0 - ellipsoid(m, y - 50.0, z - 42.0, 52.0, 55.0, 31.0)) * 34.0;
    const double inside = std::max(whole, frontal);
    if (inside < 0.0) {
        if (inside > -6.0) return inside > -1.6 || inside < -4.4 ? Tissue::cortical_bone : Tissue::spongy_bone;
        const bool forehead = z > 13.0 && y < 18.0 - 16.0 * smooth_step((m - 36.0) / 20.0);
        if (forehead && depth > 5.5) return depth < 7.5 ? Tissue::cortical_bone : Tissue::spongy_bone;
        return std::nullopt;
    }
    const double brain = inside - 2.0;
    if (brain < 0.0) return Tissue::fluid;
    const double fold = folds(m, y, z);
    if ((brain < 9.0 && std::abs(fold) < 0.09) || m < 1.2) return Tissue::fluid;  // sulci, the cleft between the hemispheres
    if (ellipsoid(m - 12.0, y - 85.0, z - 52.0, 7.0, 32.0, 8.0) < 1.0) return Tissue::fluid;
    return brain < 3.5 + 2.0 * (1.0 + fold) ? Tissue::grey : Tissue::white;
}

/// Air spaces of nose and sinuses with their walls.
std::optional<Tissue> sinuses(double m, double y, double z, double depth) {
    if (z > 14.0 || y > 56.0) return std::nullopt;
    if (m < (y > -5.0 ? 13.5 : 11.5) && y < 33.0 && z > -9.0 && z < 10.0 && depth > 5.0) {
        const double roof = depth_in_cerebrum(m, y, z);
        if (roof > 0.0) return std::nullopt;
        if (depth < 6.5 || roof > -1.5) return Tissue::cortical_bone;  // nasal bones, skull base
        // Ethmoid cells between the orbits; the outermost reach the medial wall.
        const double septum = distance_to_septa(m + 2.0, y, z, 8.0);
        return septum < 0.3 ? Tissue::cortical_bone : septum < 0.8 ? Tissue::mucosa : Tissue::air;
    }
    if (m < 13.0 && y < 45.0 && z <= -9.0 && z > -42.0 && depth > 5.0) {  // nasal cavity: septum and turbinates
        if (m < 0.9) return y > 0.0 ? Tissue::cortical_bone : Tissue::mucosa;
        const double side_wall = std::min(11.5, 7.5 + 0.35 * (y + 14.0));  // the cavity widens behind the nostrils
        if (m > side_wall) return m > side_wall + 1.5 ? std::optional(Tissue::cortical_bone) : Tissue::mucosa;
        const double turbinate = std::sin(0.45 * z) * 2.5 + 7.0 - m;
        return (turbinate < 0.0 && y > 2.0) || m < 1.8 || depth < 6.5 ? Tissue::mucosa : Tissue::air;
    }
    const double sphenoid = ellipsoid(m - 5.0, y - 43.0, z + 6.0, 8.0, 9.0, 8.0);
    if (sphenoid < 1.2) return sphenoid < 0.92 ? Tissue::air : sphenoid < 1.0 ? Tissue::mucosa : Tissue::cortical_bone;
    const double antrum = ellipsoid(m - 30.0, y - 14.0, z + 35.0, 13.5, 15.0, 16.0);
    if (antrum < 1.1 && depth > 5.0) return antrum < 0.94 ? Tissue::air : antrum < 1.0 ? Tissue::mucosa : Tissue::cortical_bone;
    return std::nullopt;
}

/// Bone, sinuses and brain around the orbits; nothing where soft tissue lies.
std::optional<Tissue> deep_structure(const OrbitPlace& o, double m, double y, double z, double depth) {
    if (depth > 3.0 && y > rim_y(m) && o.to_wall >= 1.0 && o.forward < 1.25) {
        const double thickness = wall_thickness(o, y), into = (o.to_wall - 1.0) * o.half_breadth;
        constexpr double table = 1.2;  // of compact bone on either side of the marrow
        if (into < thickness) return into > table && into < thickness - table && thickness > 3.0 ? Tissue::spongy_bone : Tissue::cortical_bone;
    }
    if (const auto t = sinuses(m, y, z, depth)) return t;
    const double cheekbone = ellipsoid(m - 46.0, y - 9.0, z + 21.0, 9.0, 12.0, 7.0);
    if (cheekbone < 1.0 && depth > 4.0) return cheekbone > 0.8 ? Tissue::cortical_bone : Tissue::spongy_bone;
    return brain_or_skull(m, y, z, depth);
}

Tissue outer_soft_tissue(double m, double y, double z, double depth) {
    if (depth < 3.5) return Tissue::fat;
    if (depth < 5.0) return Tissue::muscle;                                                  // muscles of expression
    if (m > 38.0 && y > 8.0 && z > -28.0) return depth < 6.5 ? Tissue::fat : Tissue::muscle;  // temporalis under its fat
    return y < 12.0 || std::abs(folds(0.4 * m, 0.5 * y, 0.5 * z)) < 0.22 ? Tissue::fat : Tissue::muscle;  // cheek, then chewing muscles
}

/// With what swells in place.
EyeAnatomy swollen(const EyeState& state) {
    EyeAnatomy a = state.anatomy;
    for (const LookAlike& l : state.look_alikes) {
        if (l.kind == LookAlikeKind::enlarged_gland) a.gland_scale *= l.factor;
        if (l.kind == LookAlikeKind::thickened_muscles)  // the bellies; tendons are spared
            for (RectusAnatomy& rectus : a.recti) rectus.belly_mm *= l.factor;
    }
    return a;
}

EyeVector in_eye(HeadVector v, const EyePlacement& placement) { return {dot(v, placement.towards_left), dot(v, placement.superior), dot(v, placement.anterior)}; }

HeadPoint middle_of_lids(Eye eye, const EyeAnatomy& anatomy) { return usual_centre(eye, anatomy) + HeadVector{0.0, 0.6, 0.0}; }

}  // namespace

HeadModel::HeadModel(const std::array<EyeState, 2>& eyes, const std::array<std::array<double, 2>, 2>& gaze_deg, HeadVector down)
    : placements_{placed(Eye::right, eyes[0], gaze_deg[0]), placed(Eye::left, eyes[1], gaze_deg[1])},
      anatomies_{eyes[0].anatomy, eyes[1].anatomy},
      eyes_{{{Eye::right, eyes[0], static_cast<Label>(tissue_count), in_eye(down, placements_[0])},
             {Eye::left, eyes[1], static_cast<Label>(tissue_count + eyes[0].elements.size()), in_eye(down, placements_[1])}}},
      contents_{{{Eye::right, placements_[0], eyes_[0].shape(), swollen(eyes[0])}, {Eye::left, placements_[1], eyes_[1].shape(), swollen(eyes[1])}}} {
    for (const Eye eye : both_eyes) {
        const std::size_t side = index_of(eye);
        const OrbitFrame frame{eye, anatomies_[side], placed(eye, eyes[side], {0.0, 0.0}), eyes_[side].shape().radius, middle_of_lids(eye, anatomies_[side]), down};
        look_alikes_[side] = parts_in_orbit(frame, eyes[side].look_alikes);
        if (!anatomies_[side].cushion) continue;
        const auto fat_without = [&](HeadVector direction) -> std::optional<double> {
            for (double height = GlobeCushion::near_wall_mm - 0.25; height > 0.0; height -= 0.5) {
                const HeadPoint p = placements_[side].centre + direction * (eyes_[side].shape().radius + height);
                if (label_around(side, p, p) == label(Tissue::fat)) return height;
            }
            return std::nullopt;
        };
        cushions_[side].emplace(*anatomies_[side].cushion, temporal_sign(eye), fat_without);
    }
}

Label HeadModel::label_at(HeadPoint p) const {
    const std::size_t side = p.x < 0.0 ? 0 : 1;
    const Label found = label_without_orbit_look_alikes(side, p);
    if (look_alikes_[side].empty() || !gives_way(found)) return found;
    for (const OrbitPart& part : look_alikes_[side])
        if (const auto instead = part.at(p, static_cast<Tissue>(found))) return label(*instead);
    return found;
}

Label HeadModel::label_without_orbit_look_alikes(std::size_t side, HeadPoint p) const {
    const EyeModel& eye = eyes_[side];
    const HeadVector from_centre = p - placements_[side].centre;
    if (dot(from_centre, from_centre) >= eye.reach_mm() * eye.reach_mm()) return label_around(side, p, p);
    const EyePoint local = placements_[side].to_eye(p);
    if (const auto found = eye.label_at(local)) return *found;
    const auto before = eye.before_displacement(local);
    return label_around(side, p, before ? std::optional(placements_[side].to_head(*before)) : std::nullopt);
}

Label HeadModel::label_around(std::size_t side, HeadPoint p, std::optional<HeadPoint> soft) const {
    // Bone and sinuses stay where they are; soft tissue is looked up where it lay before it was pushed aside.
    const EyeAnatomy& anatomy = anatomies_[side];
    const double m = std::abs(p.x) / anatomy.breadth();
    const double depth = depth_below_resting_skin(soft.value_or(p));
    if (soft) {
        if (depth < 0.0) return label(Tissue::air);
        if (depth < skin_mm) return label(Tissue::skin);
    }
    const OrbitPlace o = orbit_place(m, p.y, p.z, anatomy.orbit_scale);
    if (o.to_wall >= 1.0 || p.y < rim_y(m)) {
        if (soft && (o.to_wall >= 1.0 || o.forward < 0.8))
            if (const auto deep = deep_structure(o, m, p.y, p.z, depth)) return label(*deep);
        if (o.to_wall >= 1.15) return label(outer_soft_tissue(m, p.y, p.z, depth));
    }
    if (!soft) return label(Tissue::fat);
    if (const auto content = contents_[side].at(*soft)) return label(*content);
    if (const auto cushion = cushion_at(side, *soft)) return label(*cushion);
    return label(depth < lid_mm && soft->y < 2.0 + anatomy.setback_mm ? Tissue::lid : Tissue::fat);
}

std::optional<Tissue> HeadModel::cushion_at(std::size_t side, HeadPoint p) const {
    if (!cushions_[side]) return std::nullopt;
    const HeadVector from_centre = p - placements_[side].centre;
    const double distance = length(from_centre);
    return distance > 0.0 ? cushions_[side]->at(from_centre / distance, distance - eyes_[side].shape().radius) : std::nullopt;
}

double HeadModel::depth_below_resting_skin(HeadPoint p) const {
    const std::size_t side = p.x < 0.0 ? 0 : 1;
    const EyeAnatomy& anatomy = anatomies_[side];
    const double lid_depth = anatomy.lid_radius_mm - length(p - middle_of_lids(side == 0 ? Eye::right : Eye::left, anatomy));
    return std::max(depth_below_skin(std::abs(p.x) / anatomy.breadth(), p.y, p.z, anatomy.setback_mm), lid_depth);
}

bool HeadModel::within_bone(HeadPoint p) const {
    const EyeAnatomy& anatomy = anatomies_[p.x < 0.0 ? 0 : 1];
    const double m = std::abs(p.x) / anatomy.breadth();
    const OrbitPlace o = orbit_place(m, p.y, p.z, anatomy.orbit_scale);
    return o.to_wall >= 1.0 && deep_structure(o, m, p.y, p.z, depth_below_resting_skin(p)).has_value();
}

bool HeadModel::near_thin_layers(HeadPoint p, double margin) const {
    const std::size_t side = p.x < 0.0 ? 0 : 1;
    for (const OrbitPart& part : look_alikes_[side])
        if (part.thin && length(p - part.middle) < part.reach_mm + margin && std::abs(part.outside_mm(p)) < margin + 0.3) return true;
    const auto [low, high] = eyes_[side].thin_layers_mm();
    const double r = length(p - placements_[side].centre);
    return r > low - margin && r < high + margin;
}

bool HeadModel::in_orbits(HeadPoint p) const {
    const std::size_t side = p.x < 0.0 ? 0 : 1;
    const auto& parts = look_alikes_[side];
    return length(p - placements_[side].centre) < 24.0 ||
           std::any_of(parts.begin(), parts.end(), [p](const OrbitPart& part) { return length(p - part.middle) < part.reach_mm; });
}

}  // namespace perisclera::phantoms
