// SPDX-License-Identifier: Apache-2.0
#pragma once
// A patient's images changed in ways whose effect is known: mirrored, moved and turned, with more noise.
#include <cstdint>

#include "perisclera/assemble/image_series.h"

namespace perisclera::test {

struct ImageChange {
    bool mirrored = false;      ///< reflected in x: right and left change places
    double moved = 0.0;         ///< 1: shifted by 20, -13, 31 mm and turned by some 3 degrees about two axes; -1 the other way
    double noise = 0.0;         ///< standard deviation in units of about the images' own level
    std::uint32_t seed = 1;
};

/// Geometry alone mirrors and moves, so no voxel is resampled.
PatientStudies changed(const PatientStudies& patient, const ImageChange& change);

}  // namespace perisclera::test
