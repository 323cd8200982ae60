// SPDX-License-Identifier: Apache-2.0
#pragma once
// The bony wall of the orbit along a line, on CT. Its near edge lies half way up to the bone's own brightest; a wall too thin to show as bone lies
// close before the air of the sinus behind it. Bright pieces that are small stand alone: calcium in a capsule or a plaque of the sclera is no wall.
#include <functional>

#include "outside_air.h"
#include "perisclera/image/voxel_mask.h"

namespace perisclera {

class OrbitalWall {
public:
    /// About this place, the globe's centre. `of_element`: does an element lie at a place? What is as bright or as dark there is no wall. `air`: null
    /// where none is imaged. The grid and the air have to outlive it.
    OrbitalWall(const VoxelGrid& ct, PatientPoint about, const OutsideAir* air, std::function<bool(PatientPoint)> of_element);

    enum class End { bone, thin_wall, images_end, too_far };
    struct Way {
        End end;
        double distance_mm;
    };
    [[nodiscard]] Way to_wall(PatientPoint from, PatientVector along, double farthest_mm) const;

private:
    /// Is a voxel beside this place part of a piece large enough to be bone?
    [[nodiscard]] bool is_bone(PatientPoint place) const;
    const VoxelGrid* ct_;
    const OutsideAir* air_;
    std::function<bool(PatientPoint)> of_element_;
    VoxelMask bone_;
};

}  // namespace perisclera
