// SPDX-License-Identifier: Apache-2.0
#pragma once
// The vitreous cavity of a globe as a body of points, each with its depth along gravity: the whole of it for volumes, and what lies clear of wall, lens and
// ciliary body for signals.
#include <vector>

#include "perisclera/anatomy/globe.h"

namespace perisclera {

struct CavitySample {
    double depth;           ///< mm along gravity from the cavity's middle
    double aside, along;    ///< mm across gravity from it
    double behind_front;    ///< mm behind the plane that closes the cavity in front
    double value;
};

struct CavitySamples {
    std::vector<CavitySample> whole, clear;   ///< by rising depth; `clear` is a part of `whole`
    PatientPoint middle;                      ///< of the cavity
    double radius_down;                       ///< depth of its lowest point, mm
    double step_mm;                           ///< between neighbours
    double blur_mm;                           ///< extent of a voxel along gravity
};

/// Where two fluids meet inside, their common wall tells the cavity's place; else the globe's surface does. `least_step`: what parts two fluids at least.
CavitySamples sample_cavity(const VoxelGrid& grid, Modality modality, const Globe& globe, PatientVector down, double least_step);

}  // namespace perisclera
