// SPDX-License-Identifier: Apache-2.0
// Sums of waves against their definition, added up term by term.
#include "phantoms/fourier.h"

#include <gtest/gtest.h>

#include <cmath>
#include <complex>

namespace perisclera::phantoms {
namespace {

TEST(Fourier, a_plane_is_the_sum_of_its_waves) {
    constexpr int width = 15, height = 8;
    ComplexPlane plane(width, height);
    for (std::size_t i = 0; i < plane.values.size(); ++i) plane.values[i] = {static_cast<double>(i * 37 % 11) - 5.0, static_cast<double>(i * 53 % 13) - 6.0};
    const ComplexPlane waves = plane;
    sum_of_waves(plane);
    for (int y = 0; y < height; ++y)
        for (int x = 0; x < width; ++x) {
            Complex sum = 0.0;
            for (int v = 0; v < height; ++v)
                for (int u = 0; u < width; ++u) {
                    const auto i = static_cast<std::size_t>(v * width + u);
                    const double turns = static_cast<double>(x * u) / width + static_cast<double>(y * v) / height;
                    sum += waves.values[i] * std::polar(1.0, 2.0 * std::acos(-1.0) * turns);
                }
            EXPECT_LT(std::abs(plane.at(x, y) - sum), 1e-10);
        }
}

TEST(Fourier, sides_are_rounded_up_to_products_of_2_3_and_5) {
    EXPECT_EQ(transformable_length(1), 1);
    EXPECT_EQ(transformable_length(256), 256);
    EXPECT_EQ(transformable_length(257), 270);
    EXPECT_EQ(transformable_length(289), 300);
}

}  // namespace
}  // namespace perisclera::phantoms
