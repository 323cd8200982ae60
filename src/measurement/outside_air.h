// SPDX-License-Identifier: Apache-2.0
#pragma once
// The surface towards the air in front of the eye, as one series shows it: lids' skin, or conjunctiva between open lids. Along a line it lies half
// way from tissue to air; the air is outside air where forwards from it nothing but air comes up to the end of the images: nose and sinuses have bone
// and skin before them.
#include <optional>
#include <variant>

#include "perisclera/alignment/polar_block.h"
#include "perisclera/core/measured.h"
#include "perisclera/core/modality.h"

namespace perisclera {

/// Patient frame: the way the face looks.
inline constexpr PatientVector forwards{0.0, -1.0, 0.0};

class OutsideAir {
public:
    /// Unmeasured where no air before the face is imaged, or its noise reaches half way to tissue. The grid has to outlive it.
    static std::variant<OutsideAir, Unmeasured> of(const VoxelGrid& grid, Modality modality, const PolarBlock& block);

    enum class End { surface, images_end, too_far };
    struct Way {
        End end;
        double distance_mm;
    };
    /// From a place in tissue, or at its edge, along a unit vector to the surface.
    [[nodiscard]] Way to_surface(PatientPoint from, PatientVector along, double farthest_mm) const;
    /// Does nothing but air lie before this place, straight or half to a side, and is some of it imaged?
    [[nodiscard]] bool is_outside(PatientPoint place) const;

private:
    OutsideAir(const VoxelGrid& grid, double air, double level, double brightest) : grid_(&grid), air_(air), level_(level), brightest_(brightest) {}
    [[nodiscard]] bool is_air(PatientPoint p) const;
    [[nodiscard]] bool is_free(PatientPoint place, PatientVector ahead) const;
    [[nodiscard]] std::optional<double> at(PatientPoint p) const;
    const VoxelGrid* grid_;
    double air_, level_;  ///< signal of air; what is less may be air
    double brightest_;    ///< of soft tissue, more is bone
};

}  // namespace perisclera
