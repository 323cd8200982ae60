// SPDX-License-Identifier: Apache-2.0
#pragma once
// The whole synthesised head: which label lies at a point in head coordinates. Analytic shapes only, so that any series
// samples the same anatomy. Its proportions are common practice, or drawn (drawn_anatomy); nothing is
// measured from a person.
#include <array>

#include "eye_model.h"
#include "globe_cushion.h"
#include "head_box.h"
#include "locality.h"
#include "orbit_look_alike.h"
#include "orbit_content.h"
#include "tissue.h"

namespace perisclera::phantoms {

class HeadModel {
public:
    /// gaze_deg: [right, left], each towards the patient's left and up. `down`: where gravity points; backwards as the patient lies supine.
    HeadModel(const std::array<EyeState, 2>& eyes, const std::array<std::array<double, 2>, 2>& gaze_deg, HeadVector down = {0.0, 1.0, 0.0});

    [[nodiscard]] Label label_at(const HeadPoint& point) const { return label_at(point, Locality::anything()); }
    /// The same, faster where less may lie nearby. `near` holds at the point.
    [[nodiscard]] Label label_at(const HeadPoint& point, Locality near) const;
    /// What holds in all of a box.
    [[nodiscard]] Locality locality(const HeadBox& box) const;
    /// Is there bone, or a sinus behind it, at the point? Eyes and elements move none of it.
    [[nodiscard]] bool within_bone(HeadPoint point) const;
    /// How far the point lies below the skin of the lids and face at rest, mm; negative outside.
    [[nodiscard]] double depth_below_resting_skin(const HeadPoint& point) const;
    /// Does a thin layer of an eye or an explant pass within `margin` of the point?
    [[nodiscard]] bool near_thin_layers(HeadPoint point, double margin) const;
    /// Is the point in or beside an orbit, where edges are drawn finely?
    [[nodiscard]] bool in_orbits(HeadPoint point) const;

    [[nodiscard]] const EyePlacement& placement(Eye eye) const { return placements_[index_of(eye)]; }
    [[nodiscard]] const EyeModel& eye(Eye eye) const { return eyes_[index_of(eye)]; }
    /// The look-alikes that lie still in this eye's orbit.
    [[nodiscard]] const std::vector<OrbitPart>& orbit_look_alikes(Eye eye) const { return look_alikes_[index_of(eye)]; }
    /// The middle of the region every series covers.
    static HeadPoint middle_of_orbits() { return {0.0, 13.0, -2.0}; }

private:
    [[nodiscard]] Label label_without_orbit_look_alikes(std::size_t side, const HeadPoint& point, Locality near) const;
    /// Of a point outside globe and elements; `soft` is where its soft tissue lay before it was displaced, nothing in a cleft that fat fills. `near`
    /// holds at both.
    [[nodiscard]] Label label_around(std::size_t side, const HeadPoint& point, const HeadPoint* soft, Locality near) const;
    /// May a look-alike in the orbit change a box that would have this label?
    [[nodiscard]] bool may_change(std::size_t side, Label found, const HeadBox& box) const;
    [[nodiscard]] std::optional<Tissue> cushion_at(std::size_t side, HeadPoint point) const;

    std::array<EyePlacement, 2> placements_;
    std::array<EyeAnatomy, 2> anatomies_;
    std::array<EyeModel, 2> eyes_;
    std::array<OrbitContent, 2> contents_;
    std::array<std::vector<OrbitPart>, 2> look_alikes_;
    std::array<std::optional<GlobeCushion>, 2> cushions_;
};

}  // namespace perisclera::phantoms
