// SPDX-License-Identifier: Apache-2.0
#pragma once
// The line between the front edges of both lateral orbital rims (zygomatic bones) at the level of the globes, on CT: what protrusion is counted from
// (Ozgen A, Ariyurek M, AJR 1998;170:1093-1096). Patient coordinates of the series, mm.
#include <array>
#include <variant>

#include "perisclera/anatomy/globe.h"
#include "perisclera/anatomy/head_midplane.h"

namespace perisclera {

struct InterzygomaticLine {
    PatientPoint right, left;      ///< front edges
    Mm edge_uncertainty;           ///< of one edge, front to back, standard

    [[nodiscard]] double length_mm() const { return length(left - right); }
    /// Unit vector forwards, across the line.
    [[nodiscard]] PatientVector forwards(const HeadMidplane& head) const {
        const PatientVector along = unit(left - right);
        return unit(head.anterior() - along * dot(head.anterior(), along));
    }
    /// mm in front of the line; negative behind it.
    [[nodiscard]] double in_front(PatientPoint p, const HeadMidplane& head) const { return dot(p - right, forwards(head)); }
};

/// `globes`: centres and outer radii, right and left. The reason where a rim is not imaged or not plain.
std::variant<InterzygomaticLine, Unmeasured> find_interzygomatic_line(const VoxelGrid& ct, const HeadMidplane& head, const std::array<const Globe*, 2>& globes);

}  // namespace perisclera
