// SPDX-License-Identifier: Apache-2.0
// Line integrals of a plane along parallel rays, and the plane back from them by filtered back projection (Ramachandran and Lakshminarayanan 1971;
// filter of Shepp and Logan 1974, IEEE Trans Nucl Sci 21:21).
#pragma once

#include <vector>

#include "plane_filter.h"

namespace perisclera::phantoms {

/// Rays through a square plane about its middle: `angles` directions over half a turn, `bins` rays each, one pixel of the plane apart.
struct Sinogram {
    int angles, bins;
    std::vector<float> values;
    Sinogram(int angle_count, int bin_count) : angles(angle_count), bins(bin_count), values(static_cast<std::size_t>(angles) * static_cast<std::size_t>(bins)) {}
    float* direction(int angle) { return values.data() + static_cast<std::size_t>(angle) * static_cast<std::size_t>(bins); }
    [[nodiscard]] const float* direction(int angle) const { return values.data() + static_cast<std::size_t>(angle) * static_cast<std::size_t>(bins); }
};

/// Integrals in pixels times value.
Sinogram projected(const Image& plane, int angles);
/// A plane `side` pixels wide.
Image reconstructed(const Sinogram& sinogram, int side);

}  // namespace perisclera::phantoms
