// SPDX-License-Identifier: Apache-2.0
#pragma once
// One eye brought from one series to another. Between scans the head turns, and the eye turns in it; an explant turns with the eye. Each series has told globe
// and axis by itself, with some doubt, at times far off. First the head is laid on the head, which tells torsion and where the eye's middle lies, whatever
// was made of the globe. Then the eye is sought where three agree best: what both frames told, where the head carries the eye, and what the two series tell
// about each other (mutual information of what lies in the globe and on it, whatever the contrasts), the last weighed by how little of it is independent.
#include "perisclera/anatomy/globe.h"
#include "perisclera/core/modality.h"
#include "perisclera/core/result.h"

namespace perisclera {

/// One eye in one series; refers to both.
struct EyeInSeries {
    const VoxelGrid& grid;
    Modality modality;
    const Globe& globe;
};

struct AlignedEye {
    EyeFrame frame;                ///< where the first series' frame of the eye lies in the second, patient coordinates of the second
    Degrees turn_uncertainty;      ///< of the axis' direction, per component, standard
    Degrees torsion_uncertainty;   ///< about the axis, standard
    Mm shift_uncertainty;          ///< per component, standard
    Mm residual;                   ///< root mean square distance between both fitted scleral surfaces, once together
};

/// Above this residual the two series do not show one surface: no alignment.
inline constexpr Mm largest_residual{2.0};
/// Two ways to fit of which neither is improbable, and which take the equator this far apart: no alignment.
inline constexpr Mm rivals_apart{1.5};

/// Repeatable to the bit. Errors: alignment_refused, where the two surfaces do not come together or the eye fits in two ways.
Result<AlignedEye> align_eye(const EyeInSeries& first, const EyeInSeries& second);

}  // namespace perisclera
