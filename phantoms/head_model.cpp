// SPDX-License-Identifier: Apache-2.0
#include "head_model.h"

#include <algorithm>
#include <cmath>

#include "deep_structure.h"
#include "face_surface.h"
#include "orbit_place.h"

namespace perisclera::phantoms {

namespace {

constexpr double skin_mm = 1.6, lid_mm = 4.0;
constexpr double beyond_orbit = 1.15;  // of the way from the orbit's axis to its wall: beyond, soft tissue is the face's

HeadPoint usual_centre(Eye eye, const EyeAnatomy& anatomy) { return {temporal_sign(eye) * anatomy.from_midline_mm, anatomy.setback_mm, 0.0}; }

EyePlacement placed(Eye eye, const EyeState& state, const std::array<double, 2>& gaze_deg) {
    const HeadPoint centre = usual_centre(eye, state.anatomy) + HeadVector{state.offset_mm[0], -state.offset_mm[2], state.offset_mm[1]};
    if (!state.anatomy.torsion_deg) return EyePlacement::looking(centre, gaze_deg[0], gaze_deg[1]);
    return EyePlacement::listing(centre, gaze_deg[0], gaze_deg[1], *state.anatomy.torsion_deg);
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
                if (label_around(side, p, &p, Locality::anything()) == label(Tissue::fat)) return height;
            }
            return std::nullopt;
        };
        cushions_[side].emplace(*anatomies_[side].cushion, temporal_sign(eye), fat_without);
    }
}

Label HeadModel::label_at(const HeadPoint& p, Locality near) const {
    if (const auto alike = near.all_alike()) return *alike;
    const std::size_t side = p.x < 0.0 ? 0 : 1;
    const Label found = label_without_orbit_look_alikes(side, p, near);
    if (look_alikes_[side].empty() || !gives_way(found)) return found;
    for (const OrbitPart& part : look_alikes_[side])
        if (const auto instead = part.at(p, static_cast<Tissue>(found))) return label(*instead);
    return found;
}

Label HeadModel::label_without_orbit_look_alikes(std::size_t side, const HeadPoint& p, Locality near) const {
    const EyeModel& eye = eyes_[side];
    const HeadVector from_centre = p - placements_[side].centre;
    if (!near.may_be(Nearby::globe) || dot(from_centre, from_centre) >= eye.reach_mm() * eye.reach_mm()) return label_around(side, p, &p, near);
    const EyePoint local = placements_[side].to_eye(p);
    if (const auto found = eye.label_at(local)) return *found;
    const auto before = eye.before_displacement(local);
    if (!before) return label_around(side, p, nullptr, near);
    const HeadPoint soft = placements_[side].to_head(*before);
    return label_around(side, p, &soft, *before == local ? near : Locality::anything());
}

Label HeadModel::label_around(std::size_t side, const HeadPoint& p, const HeadPoint* soft, Locality near) const {
    // Bone and sinuses stay where they are; soft tissue is looked up where it lay before it was pushed aside.
    const EyeAnatomy& anatomy = anatomies_[side];
    const double m = std::abs(p.x) / anatomy.breadth();
    const double depth = near.may_be(Nearby::skin) ? depth_below_resting_skin(soft ? *soft : p) : deep_mm;
    if (soft) {
        if (depth < 0.0) return label(Tissue::air);
        if (depth < skin_mm) return label(Tissue::skin);
    }
    if (near.may_be(Nearby::surroundings)) {
        const bool by_the_wall = near.may_be(Nearby::orbit) || near.may_be(Nearby::wall);
        const OrbitPlace o = by_the_wall ? orbit_place(m, p.y, p.z, anatomy.orbit_scale) : far_beyond_wall(0.0);
        if (o.to_wall >= 1.0 || p.y < rim_y(m)) {
            if (soft && (o.to_wall >= 1.0 || o.forward < 0.8))
                if (const auto deep = deep_structure(o, m, p.y, p.z, depth, near)) return label(*deep);
            if (o.to_wall >= beyond_orbit) return label(outer_soft_tissue(m, p.y, p.z, depth));
        }
    }
    if (!soft) return label(Tissue::fat);
    if (const auto content = contents_[side].at(*soft, near)) return label(*content);
    if (near.may_be(Nearby::cushion))
        if (const auto cushion = cushion_at(side, *soft)) return label(*cushion);
    return label(depth < lid_mm && soft->y < 2.0 + anatomy.setback_mm ? Tissue::lid : Tissue::fat);
}

Locality HeadModel::locality(const HeadBox& box) const {
    const std::size_t side = box.middle().x < 0.0 ? 0 : 1;
    const EyeAnatomy& anatomy = anatomies_[side];
    const HeadBox face = box.in_usual_face(anatomy.breadth());
    Locality near;
    const Range from_eye = box.distance(placements_[side].centre);
    near.add(Nearby::globe, from_eye.low < eyes_[side].reach_mm());
    const Range bare = depth_below_face(face, anatomy.setback_mm);
    const Range lids = anatomy.lid_radius_mm - box.distance(middle_of_lids(side == 0 ? Eye::right : Eye::left, anatomy));
    const Range depth{std::max(bare.low, lids.low), std::max(bare.high, lids.high)};
    near.add(Nearby::skin, depth.low < deep_mm);
    const OrbitPlaceRange place = orbit_place(face, anatomy.orbit_scale);
    near.add(Nearby::orbit, place.to_wall.low < beyond_orbit);
    near.add(Nearby::surroundings, place.to_wall.high >= 1.0 || box.y.low < rim_y(face.x.high));
    note_deep_structures(near, face, place);
    contents_[side].note(near, box);
    near.add(Nearby::cushion, cushions_[side] && from_eye.low < eyes_[side].shape().radius + GlobeCushion::thickest_mm);
    const auto alike = [&]() -> std::optional<Label> {
        if (near.may_be(Nearby::globe)) return eyes_[side].label_throughout(placements_[side].to_eye(box.middle()), box.half_diagonal());
        if (depth.high < 0.0) return label(Tissue::air);
        if (near.is_at_most(Nearby::orbit)) return label(Tissue::fat);
        if (!near.is_none_of({Nearby::skin, Nearby::orbit, Nearby::wall, Nearby::sinuses, Nearby::cheekbone, Nearby::skull})) return std::nullopt;
        const auto tissue = deep_outer_soft_tissue(face);
        return tissue ? std::optional(label(*tissue)) : std::nullopt;
    }();
    if (alike && !may_change(side, *alike, box)) near.set_all_alike(*alike);
    return near;
}

bool HeadModel::may_change(std::size_t side, Label found, const HeadBox& box) const {
    return gives_way(found) && std::any_of(look_alikes_[side].begin(), look_alikes_[side].end(),
                                           [&](const OrbitPart& part) { return box.distance(part.middle).low < part.reach_mm; });
}

std::optional<Tissue> HeadModel::cushion_at(std::size_t side, HeadPoint p) const {
    if (!cushions_[side]) return std::nullopt;
    const HeadVector from_centre = p - placements_[side].centre;
    const double distance = length(from_centre);
    return distance > 0.0 ? cushions_[side]->at(from_centre / distance, distance - eyes_[side].shape().radius) : std::nullopt;
}

double HeadModel::depth_below_resting_skin(const HeadPoint& p) const {
    const std::size_t side = p.x < 0.0 ? 0 : 1;
    const EyeAnatomy& anatomy = anatomies_[side];
    const double lid_depth = anatomy.lid_radius_mm - length(p - middle_of_lids(side == 0 ? Eye::right : Eye::left, anatomy));
    return std::max(depth_below_face(std::abs(p.x) / anatomy.breadth(), p.y, p.z, anatomy.setback_mm), lid_depth);
}

bool HeadModel::within_bone(HeadPoint p) const {
    const EyeAnatomy& anatomy = anatomies_[p.x < 0.0 ? 0 : 1];
    const double m = std::abs(p.x) / anatomy.breadth();
    const OrbitPlace o = orbit_place(m, p.y, p.z, anatomy.orbit_scale);
    return o.to_wall >= 1.0 && deep_structure(o, m, p.y, p.z, depth_below_resting_skin(p), Locality::anything()).has_value();
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
