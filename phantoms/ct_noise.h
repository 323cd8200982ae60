// SPDX-License-Identifier: Apache-2.0
// Noise of filtered back projection. Its power spectrum is the ramp times the square of the kernel's transfer, little at low frequencies (Riederer,
// Pelc, Chesler 1978, Phys Med Biol 23:446), with the frequencies above what the pixels can show folded back (Kijewski, Judy 1987, Phys Med Biol 32:565,
// doi 10.1088/0031-9155/32/5/003). Equal all over the plane, independent from slice to slice; neither holds in a real head, where it grows inwards.
#pragma once

#include <cstdint>
#include <vector>

#include "ct_kernel.h"
#include "plane_filter.h"

namespace perisclera::phantoms {

/// Power at this spatial frequency, up to a factor.
double noise_power(const CtBlur& blur, double cycles_per_mm);

class CtNoise {
public:
    /// For planes up to this size; standard deviation in HU.
    CtNoise(const CtBlur& blur, double spacing_mm, int width, int height, double deviation);
    /// The same key gives the same noise.
    void add_to(Image& image, std::uint64_t key) const;

private:
    int width_, height_;            ///< of the plane of frequencies
    std::vector<float> amplitude_;  ///< by frequency
};

}  // namespace perisclera::phantoms
