// SPDX-License-Identifier: Apache-2.0
#pragma once
// std::lerp for shares from 0 to 1, bit by bit, without its branches on the numbers' signs, which a processor cannot foresee.

namespace perisclera::phantoms {

/// a where the share is 0, b where it is 1. Precondition: all finite, 0 <= share <= 1.
inline double between(double a, double b, double share) {
    const double crossing = share * b + (1.0 - share) * a, sum = a + share * (b - a);
    // A rounded sum may pass b.
    const double rising = b > sum ? sum : b, falling = b < sum ? sum : b;
    const double same_sign = b > a ? rising : falling;
    const bool crosses = ((a <= 0.0) & (b >= 0.0)) | ((a >= 0.0) & (b <= 0.0));
    return crosses ? crossing : share == 1.0 ? b : same_sign;
}

}  // namespace perisclera::phantoms
