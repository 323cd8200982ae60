// SPDX-License-Identifier: Apache-2.0
#pragma once
// The bony wall of the orbit along a line, on CT. Its near edge lies half way up to the bone's own brightest; a wall too thin to show as bone lies close before the air of
// the sinus behind it.
#include <functional>
#include <optional>

#include "outside_air.h"

namespace perisclera {

class OrbitalWall {
public:
    /// `of_element`: does an element lie at a place? What is as bright or as dark there is no wall. The grid and the air have to outlive it.
    OrbitalWall(const VoxelGrid& ct, const OutsideAir* air, std::function<bool(PatientPoint)> of_element) : ct_(&ct), air_(air), of_element_(std::move(of_element)) {}

    enum class End { bone, thin_wall, images_end, too_far };
    struct Way {
        End end;
        double distance_mm;
    };
    [[nodiscard]] Way to_wall(PatientPoint from, PatientVector along, double farthest_mm) const;

private:
    const VoxelGrid* ct_;
    const OutsideAir* air_;   ///< null where none is imaged
    std::function<bool(PatientPoint)> of_element_;
};

}  // namespace perisclera
