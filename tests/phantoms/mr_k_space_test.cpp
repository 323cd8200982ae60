// SPDX-License-Identifier: Apache-2.0
// Expected values: closed forms of band-limited signals.
#include "phantoms/mr_k_space.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "phantoms/random_field.h"

namespace perisclera::phantoms {
namespace {

KSpace k_space(int pixels, int cells, double zero_filling) {
    return {Encoding(pixels, cells, zero_filling, 1), Encoding(pixels, cells, zero_filling, 1)};
}

/// Columns of the drawing from `from` on, as far as `to`, are 1.
ComplexPlane stripe(const KSpace& k, int from, int to) {
    ComplexPlane plane(k.frequency().cells(), k.phase().cells());
    for (int y = 0; y < plane.height; ++y)
        for (int x = from; x < to; ++x) plane.at(x, y) = 1.0;
    return plane;
}

TEST(MrKSpace, what_is_uniform_keeps_its_value) {
    for (const double zero_filling : {1.0, 1.5, 2.0}) {
        const KSpace k = k_space(60, 4, zero_filling);
        for (const Complex& value : k.image(k.sampled(stripe(k, 0, k.frequency().cells()))).values) EXPECT_LT(std::abs(value - 1.0), 1e-9);
    }
}

// A step cut off in k-space overshoots by Si(pi)/pi - 1/2 = 8.95 % however many samples are taken (Gibbs; Gottlieb D, Shu CW, SIAM Rev
// 1997;39:644).
TEST(MrKSpace, an_edge_overshoots_by_nine_per_cent) {
    for (const double zero_filling : {4.0, 8.0}) {
        const KSpace k = k_space(480, 4, zero_filling);
        // The edge runs through a pixel's middle, so that one of the finer pixels meets the peak, an acquired pixel away.
        const ComplexPlane image = k.image(k.sampled(stripe(k, 482, 1442)));
        double highest = 0.0;
        for (int x = 0; x < image.width; ++x) highest = std::max(highest, image.at(x, 7).real());
        EXPECT_NEAR(highest - 1.0, 0.0895, 0.003) << zero_filling;
    }
}

// A single cell of 1 in the first column's middle shows Dirichlet's kernel: sum of exp(2 pi i f x / n) over the frequencies sampled.
TEST(MrKSpace, a_point_spreads_as_dirichlets_kernel) {
    for (const double zero_filling : {1.0, 2.0}) {
        constexpr int pixels = 40, cells = 5, there = 17;  // an odd number of cells has one in a pixel's middle
        const KSpace k{Encoding(pixels, cells, zero_filling, 0), Encoding(pixels, cells, zero_filling, 0)};
        ComplexPlane drawn(k.frequency().cells(), k.phase().cells());
        drawn.at(there * cells + cells / 2, there * cells + cells / 2) = static_cast<double>(cells * cells);
        const ComplexPlane image = k.image(k.sampled(drawn));
        for (int x = 0; x < pixels; ++x) {
            Complex kernel = 0.0;
            for (int i = 0; i < k.frequency().samples(); ++i)
                kernel += std::polar(1.0 / pixels, 2.0 * std::numbers::pi * k.frequency().frequency(i) * (x - there) / pixels);
            EXPECT_LT(std::abs(image.at(x, there) - kernel * (static_cast<double>(k.phase().samples()) / pixels)), 1e-9) << x;
        }
    }
}

// Waves up to half a period per sample pass with their height, higher ones not at all. A cell's mean of cos(2 pi f x) is sin(u)/u of it.
TEST(MrKSpace, waves_pass_up_to_the_acquired_resolution) {
    constexpr int pixels = 120, cells = 4;
    const KSpace k = k_space(pixels, cells, 2.0);
    for (const int periods : {3, 17, 29, 31, 50}) {
        ComplexPlane drawn(k.frequency().cells(), k.phase().cells());
        const double u = std::numbers::pi * periods / drawn.width;
        for (int y = 0; y < drawn.height; ++y)
            for (int x = 0; x < drawn.width; ++x) drawn.at(x, y) = std::sin(u) / u * std::cos(2.0 * u * (x + 0.5));
        const ComplexPlane image = k.image(k.sampled(drawn));
        for (int x = 0; x < pixels; ++x) {
            const double expected = periods < pixels / 4 ? std::cos(2.0 * std::numbers::pi * periods * (x + 0.5) / pixels) : 0.0;
            EXPECT_NEAR(image.at(x, 3).real(), expected, 1e-9) << periods << " " << x;
        }
    }
}

// Magnitudes of complex Gaussian noise follow Rayleigh's distribution: mean sqrt(pi/2) s, deviation sqrt(2 - pi/2) s (Gudbjartsson H, Patz S,
// Magn Reson Med 1995;34:910). Interpolation does not change either.
TEST(MrKSpace, noise_has_the_rician_floor_whatever_the_zero_filling) {
    constexpr double deviation = 7.0;
    for (const double zero_filling : {1.0, 2.0}) {
        const KSpace k = k_space(240, 4, zero_filling);
        ComplexPlane samples(k.frequency().samples(), k.phase().samples());
        for (std::size_t i = 0; i < samples.values.size(); ++i)
            samples.values[i] = k.noise_in_k_space(deviation) * Complex(normal_number(5, 2 * i), normal_number(5, 2 * i + 1));
        const ComplexPlane image = k.image(samples);
        double sum = 0.0, squares = 0.0;
        for (const Complex& value : image.values) sum += std::abs(value), squares += std::norm(value);
        const auto count = static_cast<double>(image.values.size());
        const double mean = sum / count;
        // At least 14 400 independent values: standard error 0.4 % of the mean, 0.8 % of the deviation.
        EXPECT_NEAR(mean, deviation * std::sqrt(std::numbers::pi / 2.0), 0.02 * mean) << zero_filling;
        EXPECT_NEAR(std::sqrt(squares / count - mean * mean), deviation * std::sqrt(2.0 - std::numbers::pi / 2.0), 0.03 * deviation) << zero_filling;
    }
}

/// J_n(x) for any integer and sign: J_-n(x) = J_n(-x) = (-1)^n J_n(x).
double bessel(int n, double x) {
    return std::cyl_bessel_j(static_cast<double>(std::abs(n)), std::abs(x)) * (n % 2 != 0 && (n < 0) != (x < 0.0) ? -1.0 : 1.0);
}

// exp(-2 pi i f A sin(2 pi m j / N)) is the sum of J_n(2 pi f A) exp(-2 pi i n m j / N) (Jacobi and Anger), and a phase that runs over the lines
// moves an image along the phase direction: ghost n lies n m pixels away and is the object filtered by J_n.
TEST(MrKSpace, an_object_swinging_along_the_frequency_direction_leaves_ghosts_filtered_by_bessels_functions) {
    constexpr int pixels = 90, cycles = 20, place = 25;
    constexpr double amplitude = 1.4;
    const KSpace k = k_space(pixels, 4, 1.0);
    ComplexPlane drawn(k.frequency().cells(), k.phase().cells());
    for (int y = 4 * place; y < 4 * place + 4; ++y)
        for (int x = 160; x < 190; ++x) drawn.at(x, y) = 1.0;
    const ComplexPlane object = k.sampled(drawn), still = k.image(object);
    ComplexPlane samples(object.width, object.height);
    add_swinging(samples, object, k, {amplitude, 0.0, cycles});
    const ComplexPlane moved = k.image(samples);
    const auto wave = [](int periods, int at) { return std::polar(1.0, 2.0 * std::numbers::pi * periods * at / pixels); };
    std::vector<std::vector<Complex>> spectra(pixels, std::vector<Complex>(pixels));  // of the object's lines
    for (int line = 0; line < pixels; ++line)
        for (int i = 0; i < pixels; ++i)
            for (int x = 0; x < pixels; ++x)
                spectra[static_cast<std::size_t>(line)][static_cast<std::size_t>(i)] +=
                    still.at(x, line) * wave(-k.frequency().frequency(i), x) / static_cast<double>(pixels);
    for (const int line : {place, place + cycles, place + 2 * cycles, place + 3 * cycles, 7})
        for (int x = 0; x < pixels; ++x) {
            Complex expected = 0.0;
            for (int n = -20; n <= 20; ++n)
                for (int i = 0; i < pixels; ++i) {
                    const int f = k.frequency().frequency(i), from = ((line - n * cycles) % pixels + pixels) % pixels;
                    expected += bessel(n, 2.0 * std::numbers::pi * f * amplitude / pixels) *
                                spectra[static_cast<std::size_t>(from)][static_cast<std::size_t>(i)] * wave(f, x);
                }
            EXPECT_LT(std::abs(moved.at(x, line) - expected), 1e-9) << line << " " << x;
        }
}

}  // namespace
}  // namespace perisclera::phantoms
