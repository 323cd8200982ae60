// SPDX-License-Identifier: Apache-2.0
// Noise as a series has it: how strong, and how alike neighbouring pixels of a slice are. Slices are independent of each other.
#pragma once

#include <cstdint>
#include <vector>

#include "fourier.h"

namespace perisclera::phantoms {

/// Without a covariance the noise is white, and without a deviation there is none.
struct NoiseTexture {
    double deviation = 0.0;           ///< standard deviation, HU or MR signal
    int reach = 0;                    ///< pixels: the covariance is known up to here along rows and along columns, and 0 beyond
    std::vector<double> correlation;  ///< (2 reach + 1) squared, along rows first; 1 in the middle; the same for a step and the step back

    [[nodiscard]] double at(int along_row, int down_column) const;
};

class CorrelatedNoise {
public:
    /// For planes up to this size. Frequencies of which a measured correlation would leave less than nothing get none.
    CorrelatedNoise(const NoiseTexture& texture, int width, int height);
    /// Real and imaginary part are independent planes of noise, at least as large as asked for. The same key gives the same noise.
    [[nodiscard]] ComplexPlane plane(std::uint64_t key) const;

private:
    int width_, height_;
    std::vector<double> amplitude_;  ///< by frequency
};

}  // namespace perisclera::phantoms
