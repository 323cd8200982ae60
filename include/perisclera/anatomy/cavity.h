// SPDX-License-Identifier: Apache-2.0
#pragma once
// What the vitreous cavity of one eye shows in one series, before it is given a name: one even signal, or two that meet at a level. A level lies across
// gravity, whatever the eye looks at; what rises or falls with the wall, or lies on one side only, is none. Nothing here asks that vitreous or a lens be
// there. Signals are HU on CT, on MR those of the series.
#include <optional>
#include <variant>

#include "perisclera/anatomy/globe.h"

namespace perisclera {

struct FluidPart {
    double value;    ///< median
    double spread;   ///< robust standard deviation
};

struct EvenCavity {
    FluidPart whole;
};

/// A fluid's surface: a plane across gravity.
struct FluidPlane {
    PatientPoint point;   ///< on it
    PatientVector down;   ///< unit vector
    /// mm below it; negative above.
    [[nodiscard]] double depth_of(PatientPoint p) const { return dot(p - point, down); }
};

struct LayeredCavity {
    FluidPart upper, lower;
    Measured<Fraction> share_above;   ///< of the cavity's volume
    Measured<Mm> level;   ///< height above the cavity's lowest point
    FluidPlane plane;
};

/// Neither even nor parted by one level.
struct UnevenCavity {
    FluidPart main;       ///< what most of it shows
    double main_share;    ///< of what was looked at, 0..1
    double low, high;     ///< the signal of its darkest and its brightest tenth across gravity
};

using CavityReading = std::variant<EvenCavity, LayeredCavity, UnevenCavity>;

/// `down`: unit vector to the ground, patient coordinates. `least_step`: fluids whose signals differ by less are taken for one. Nothing where too little of
/// the cavity lies inside the images.
std::optional<CavityReading> read_cavity(const VoxelGrid& grid, Modality modality, const Globe& globe, PatientVector down, double least_step);

}  // namespace perisclera
