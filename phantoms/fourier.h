// SPDX-License-Identifier: Apache-2.0
// Discrete Fourier transform of a plane whose sides are powers of two.
#pragma once

#include <vector>

namespace perisclera::phantoms {

struct ComplexPlane {
    int width, height;  ///< powers of two
    std::vector<float> real, imaginary;
    ComplexPlane(int w, int h)
        : width(w), height(h), real(static_cast<std::size_t>(w) * static_cast<std::size_t>(h)), imaginary(real.size()) {}
};

/// The smallest power of two that is not less.
int power_of_two_from(int length);

/// Sums value * exp(2 pi i (x u / width + y v / height)) over all (u, v), in place.
void sum_of_waves(ComplexPlane& plane);

}  // namespace perisclera::phantoms
