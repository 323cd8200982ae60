// SPDX-License-Identifier: Apache-2.0
// Sums of waves against their definition, added up term by term.
#include "phantoms/fourier.h"

#include <gtest/gtest.h>

#include <cmath>
#include <complex>

namespace perisclera::phantoms {
namespace {

TEST(Fourier, a_plane_is_the_sum_of_its_waves) {
    constexpr int width = 16, height = 8;
    ComplexPlane plane(width, height);
    for (std::size_t i = 0; i < plane.real.size(); ++i) {
        plane.real[i] = static_cast<float>(i * 37 % 11) - 5.0f;
        plane.imaginary[i] = static_cast<float>(i * 53 % 13) - 6.0f;
    }
    const ComplexPlane waves = plane;
    sum_of_waves(plane);
    for (int y = 0; y < height; ++y)
        for (int x = 0; x < width; ++x) {
            std::complex<double> sum = 0.0;
            for (int v = 0; v < height; ++v)
                for (int u = 0; u < width; ++u) {
                    const auto i = static_cast<std::size_t>(v * width + u);
                    const double turns = static_cast<double>(x * u) / width + static_cast<double>(y * v) / height;
                    sum += std::complex<double>(static_cast<double>(waves.real[i]), static_cast<double>(waves.imaginary[i])) * std::polar(1.0, 2.0 * std::acos(-1.0) * turns);
                }
            // Single precision over 128 terms of size 8.
            EXPECT_NEAR(static_cast<double>(plane.real[static_cast<std::size_t>(y * width + x)]), sum.real(), 1e-3);
            EXPECT_NEAR(static_cast<double>(plane.imaginary[static_cast<std::size_t>(y * width + x)]), sum.imag(), 1e-3);
        }
}

TEST(Fourier, sides_are_rounded_up_to_powers_of_two) {
    EXPECT_EQ(power_of_two_from(1), 1);
    EXPECT_EQ(power_of_two_from(256), 256);
    EXPECT_EQ(power_of_two_from(289), 512);
}

}  // namespace
}  // namespace perisclera::phantoms
