// SPDX-License-Identifier: Apache-2.0
#pragma once
// How the head lies in one series against another, by what turns with it and not with the eye: skull, brain, face. Patient coordinates of either series, mm.
#include <optional>

#include "perisclera/alignment/eye_alignment.h"
#include "rotation.h"

namespace perisclera {

/// Rigid, about the middle of one eye.
struct HeadMove {
    PatientPoint to;      ///< where the head carries the eye's middle in the second series
    PatientVector turn;   ///< as in rotation.h
    [[nodiscard]] PatientVector carried(PatientVector v) const { return turned(v, turn); }
};

/// Where the two series tell most about each other (mutual information) within 60 mm of the eye, the globe and what lies close to it left out; heads turn by up to 35 degrees
/// between scans. Nothing where too little of the head is shown, or where it fits in two ways.
std::optional<HeadMove> head_move(const EyeInSeries& first, const EyeInSeries& second);

}  // namespace perisclera
