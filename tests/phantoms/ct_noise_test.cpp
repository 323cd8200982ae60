// SPDX-License-Identifier: Apache-2.0
// Noise of filtered back projection. Expected: the deviation asked for, and the autocorrelation that follows in closed form from the stated spectrum.
// For a Gaussian kernel the power is f exp(-4 pi^2 s^2 f^2); its Hankel transform at distance r, over that at 0, is 1F1(3/2; 1; -x) with
// x = r^2 / (4 s^2), which is exp(-x / 2) [(1 - x) I0(x / 2) + x I1(x / 2)] (Abramowitz and Stegun, 11.4.28 and 13.1.27, and the Laguerre function
// of order 1/2).
#include "phantoms/ct_noise.h"

#include <gtest/gtest.h>

#include <cmath>

namespace perisclera::phantoms {
namespace {

constexpr int side = 256;
constexpr double asked = 12.0;

Image plane(const CtNoise& noise, std::uint64_t key) {
    Image image(side, side);
    noise.add_to(image, key);
    return image;
}

double covariance(const Image& a, const Image& b, int shift) {
    double sum = 0.0;
    for (int y = 0; y < side; ++y)
        for (int x = 0; x + shift < side; ++x) sum += static_cast<double>(a.at(x, y)) * static_cast<double>(b.at(x + shift, y));
    return sum / (side * (side - shift));
}

double autocorrelation(double distance, double sigma) {
    const double x = distance * distance / (4.0 * sigma * sigma);
    return std::exp(-x / 2.0) * ((1.0 - x) * std::cyl_bessel_i(0.0, x / 2.0) + x * std::cyl_bessel_i(1.0, x / 2.0));
}

// A plane holds several thousand independent values, eight planes tell a deviation to some 0.5 % and a correlation to some 0.01.
TEST(CtNoise, deviation_and_autocorrelation_are_as_asked) {
    struct Case {
        Kernel kernel;
        double sigma, spacing;
    };
    for (const Case& c :
         {Case{Kernel::soft, 1.2 / 2.3548, 0.45}, {Kernel::soft, 1.2 / 2.3548, 0.3}, {Kernel::bone, 0.6 / 2.3548, 0.25}, {Kernel::bone, 0.6 / 2.3548, 0.45}}) {
        const CtNoise noise(ct_blur(c.kernel), c.spacing, side, side, asked);
        std::vector<double> sums(7, 0.0);
        for (std::uint64_t key = 0; key < 8; ++key) {
            const Image image = plane(noise, key);
            for (std::size_t lag = 0; lag < sums.size(); ++lag) sums[lag] += covariance(image, image, static_cast<int>(lag)) / 8.0;
        }
        EXPECT_NEAR(std::sqrt(sums[0]), asked, 0.015 * asked);
        for (std::size_t lag = 1; lag < sums.size(); ++lag)
            EXPECT_NEAR(sums[lag] / sums[0], autocorrelation(static_cast<double>(lag) * c.spacing, c.sigma), 0.025)
                << static_cast<int>(c.kernel) << " " << c.spacing << " " << lag;
    }
}

TEST(CtNoise, every_kernel_gives_the_deviation_asked_for) {
    for (const Kernel kernel : {Kernel::soft, Kernel::bone, Kernel::edge}) {
        const Image image = plane(CtNoise(ct_blur(kernel), 0.4, side, side, asked), 5);
        EXPECT_NEAR(std::sqrt(covariance(image, image, 0)), asked, 0.03 * asked) << static_cast<int>(kernel);
    }
}

// Independent values that the kernel has blurred would leave a variance of deviation^2 4 pi sigma^2 / area to the mean over an area. The ramp takes
// most of that away.
TEST(CtNoise, little_is_left_at_low_frequencies) {
    constexpr double spacing = 0.45, sigma = 1.2 / 2.3548;
    constexpr int block = 32;
    const CtNoise noise(ct_blur(Kernel::soft), spacing, side, side, asked);
    double variance = 0.0;
    int blocks = 0;
    for (std::uint64_t key = 0; key < 4; ++key) {
        const Image image = plane(noise, key);
        for (int top = 0; top < side; top += block)
            for (int left = 0; left < side; left += block) {
                double mean = 0.0;
                for (int y = 0; y < block; ++y)
                    for (int x = 0; x < block; ++x) mean += static_cast<double>(image.at(left + x, top + y)) / (block * block);
                variance += mean * mean;
                ++blocks;
            }
    }
    const double area = block * block * spacing * spacing;
    EXPECT_LT(variance / blocks, 0.3 * asked * asked * 4.0 * std::acos(-1.0) * sigma * sigma / area);
}

TEST(CtNoise, slices_are_independent_and_a_key_always_gives_the_same) {
    const CtNoise noise(ct_blur(Kernel::soft), 0.45, side, side, asked);
    const Image one = plane(noise, 1), two = plane(noise, 2);
    EXPECT_NEAR(covariance(one, two, 0) / (asked * asked), 0.0, 0.05);
    EXPECT_EQ(plane(noise, 1).values, one.values);
}

}  // namespace
}  // namespace perisclera::phantoms
