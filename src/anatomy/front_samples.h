// SPDX-License-Identifier: Apache-2.0
#pragma once
// The signal of the front of an eye, sampled along rays from the globe's centre within 65 degrees of an axis. Patient frame, mm.
#include <vector>

#include "globe_fit.h"

namespace perisclera {

struct FrontSample {
    PatientVector at;       ///< from the globe's centre
    double globe_mm;        ///< distance of the outer sclera in this direction
    double value, weight;   ///< weight: how many independent voxels it stands for
    double blur_mm;         ///< of surfaces across this direction
    std::size_t direction;
    bool second_fluid;      ///< below the level of two fluids
};

struct FrontSamples {
    std::vector<FrontSample> all;
    std::size_t asked = 0;          ///< how many there would be, did all lie in the images
    std::size_t directions = 0;
    double axial_blur_mm = 0.0;     ///< of surfaces across the axis
    double span = 0.0;              ///< of the signals well within the globe
    double uneven = 0.0;            ///< how far a part's signal may lie off its mean, standard, > 0
    double uneven_before = 0.0;     ///< the same before the eye
    bool two_fluids = false;
};

/// `directions`: of the whole sphere; those about `axis` are used.
FrontSamples front_samples(const VoxelGrid& grid, Modality modality, const GlobeFit& fit, PatientVector axis, int directions);

}  // namespace perisclera
