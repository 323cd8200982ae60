// SPDX-License-Identifier: Apache-2.0
#pragma once
// The whole synthesised head: which label lies at a point in head coordinates. Analytic shapes only, so that any series
// samples the same anatomy. Its proportions are common practice; nothing is measured from a person.
#include <array>

#include "eye_model.h"
#include "head_frame.h"
#include "orbit_content.h"
#include "tissue.h"

namespace perisclera::phantoms {

class HeadModel {
public:
    /// gaze_deg: [right, left], each towards the patient's left and up.
    HeadModel(const std::array<EyeState, 2>& eyes, const std::array<std::array<double, 2>, 2>& gaze_deg);

    [[nodiscard]] Label label_at(HeadPoint point) const;
    /// Does a thin layer of an eye or an explant pass within `margin` of the point?
    [[nodiscard]] bool near_thin_layers(HeadPoint point, double margin) const;
    /// Is the point in or beside an orbit, where edges are drawn finely?
    [[nodiscard]] bool in_orbits(HeadPoint point) const;

    [[nodiscard]] const EyePlacement& placement(Eye eye) const { return placements_[index_of(eye)]; }
    [[nodiscard]] const EyeModel& eye(Eye eye) const { return eyes_[index_of(eye)]; }
    /// The middle of the region every series covers.
    static HeadPoint middle_of_orbits() { return {0.0, 13.0, -2.0}; }

private:
    std::array<EyePlacement, 2> placements_;
    std::array<EyeModel, 2> eyes_;
    std::array<OrbitContent, 2> contents_;
};

}  // namespace perisclera::phantoms
