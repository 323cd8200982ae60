// SPDX-License-Identifier: Apache-2.0
#pragma once
// Where a globe lies in the head and which way it is turned: against the fellow eye mirrored in the head's plane of symmetry, and on CT against the
// interzygomatic line. Displacement is judged at the globe's centre and at its rear margin, so that an eye longer than its fellow is not called displaced;
// turn is a figure of its own. Which of two unlike eyes is out of place no mirror tells. mm and degrees; "anterior" and "superior" are the patient's axes as
// the header gives them, laid into the plane of symmetry: how far the head nods is not known, and the intervals allow for it.
#include <array>
#include <optional>
#include <variant>

#include "perisclera/anatomy/globe.h"
#include "perisclera/anatomy/interzygomatic_line.h"

namespace perisclera {

/// Against the mirrored fellow eye.
struct GlobeOffset {
    Measured<Mm> superior, anterior, left;   ///< of the globe's centre
    Measured<Mm> rear_margin;                ///< of its rearmost point, forwards
    /// Of all directions together, mm; the less, the better a series serves.
    [[nodiscard]] double doubt_mm() const;
};

/// Against the interzygomatic line, across it.
struct GlobeProtrusion {
    Measured<Mm> line_length;
    Measurement<Mm> cornea_in_front;
    Measured<Mm> centre_in_front, rear_margin_behind;
};

struct EyeTurn {
    Measured<Degrees> left, up;              ///< of the eye's axis in the head
    Measured<Degrees> nasal_to_fellow;       ///< angle by which both axes together converge
    Measured<Degrees> up_to_fellow;          ///< by which it points higher than the fellow's
};

/// What one series says of one eye.
struct GlobePosition {
    GlobeOffset offset;
    EyeTurn turn;
    std::variant<GlobeProtrusion, Unmeasured> protrusion;
};

/// What globes are placed against in one series. It hardly depends on the globes, which only say where to look.
struct HeadLandmarks {
    HeadMidplane midplane;
    std::variant<InterzygomaticLine, Unmeasured> line;
};

/// Nothing where the head's symmetry does not show.
std::optional<HeadLandmarks> head_landmarks(const VoxelGrid& grid, Modality modality, const Globe& right, const Globe& left);

/// Right and left; all of one series.
std::array<GlobePosition, 2> globe_positions(const HeadLandmarks& head, const Globe& right, const Globe& left);

}  // namespace perisclera
