// SPDX-License-Identifier: Apache-2.0
#pragma once
// The plane of symmetry of the head round the orbits, from the images alone: skull, brain, nose and skin are laid on their own mirror image. The globes only say
// where to look: they and all within 22 mm of their centres are left out, so that a globe out of its place draws no plane after it. How well the parts of the
// head agree on one plane is its uncertainty; no head is quite symmetric. Patient coordinates of the series.
#include <array>
#include <optional>

#include "perisclera/core/frames.h"
#include "perisclera/core/modality.h"
#include "perisclera/core/units.h"
#include "perisclera/image/voxel_grid.h"

namespace perisclera {

struct HeadMidplane {
    PatientPoint point;            ///< on it, midway between the globes
    PatientVector left;            ///< unit normal, towards the patient's left
    Mm place_uncertainty;          ///< standard, along the normal at `point`
    Degrees yaw_uncertainty;       ///< standard, of a turn about the body's long axis
    Degrees roll_uncertainty;      ///< standard, of a lean towards a shoulder

    /// Unit vectors within the plane: the patient's own axes as the header gives them, since symmetry says nothing of a nod.
    [[nodiscard]] PatientVector anterior() const { return unit(PatientVector{0, -1, 0} - left * dot(PatientVector{0, -1, 0}, left)); }
    [[nodiscard]] PatientVector superior() const { return cross(anterior(), left); }
    /// mm to the patient's left of the plane.
    [[nodiscard]] double left_of(PatientPoint p) const { return dot(p - point, left); }
    [[nodiscard]] PatientPoint mirrored(PatientPoint p) const { return p + left * (-2.0 * left_of(p)); }
};

/// `globes`: centres, right and left. Nothing where too little of the head is imaged on both sides, or it is not like its mirror image.
std::optional<HeadMidplane> find_midplane(const VoxelGrid& grid, Modality modality, const std::array<PatientPoint, 2>& globes);

}  // namespace perisclera
