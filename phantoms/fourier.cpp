// SPDX-License-Identifier: Apache-2.0
#include "fourier.h"

#include <cmath>
#include <cstddef>
#include <utility>

#include "globe_shape.h"

namespace perisclera::phantoms {

namespace {

/// The radix-2 transform of Cooley and Tukey (1965) along one direction, for all lines at once: the inner loop runs over neighbours in memory.
class Lines {
public:
    /// `length` points `step` apart, `lines` of them side by side.
    Lines(float* real, float* imaginary, std::size_t length, std::size_t step, std::size_t lines)
        : real_(real), imaginary_(imaginary), length_(length), step_(step), lines_(lines) {}

    void transform() {
        for (std::size_t i = 1, j = 0; i < length_; ++i) {
            std::size_t bit = length_ >> 1;
            for (; j & bit; bit >>= 1) j ^= bit;
            j ^= bit;
            if (i < j) swap(i, j);
        }
        for (std::size_t half = 1; half < length_; half *= 2)
            for (std::size_t k = 0; k < half; ++k) {
                const double angle = pi * static_cast<double>(k) / static_cast<double>(half);
                const auto c = static_cast<float>(std::cos(angle)), s = static_cast<float>(std::sin(angle));
                for (std::size_t first = k; first < length_; first += 2 * half) butterfly(first * step_, (first + half) * step_, c, s);
            }
    }

private:
    void swap(std::size_t i, std::size_t j) {
        for (std::size_t n = 0; n < lines_; ++n) {
            std::swap(real_[i * step_ + n], real_[j * step_ + n]);
            std::swap(imaginary_[i * step_ + n], imaginary_[j * step_ + n]);
        }
    }
    void butterfly(std::size_t a, std::size_t b, float c, float s) {
        for (std::size_t n = 0; n < lines_; ++n) {
            const float re = c * real_[b + n] - s * imaginary_[b + n], im = c * imaginary_[b + n] + s * real_[b + n];
            real_[b + n] = real_[a + n] - re;
            imaginary_[b + n] = imaginary_[a + n] - im;
            real_[a + n] += re;
            imaginary_[a + n] += im;
        }
    }
    float *real_, *imaginary_;
    std::size_t length_, step_, lines_;
};

ComplexPlane transposed(const ComplexPlane& in) {
    ComplexPlane out(in.height, in.width);
    const auto w = static_cast<std::size_t>(in.width), h = static_cast<std::size_t>(in.height);
    constexpr std::size_t tile = 16;  // of what the caches hold; sides are powers of two
    for (std::size_t top = 0; top < h; top += tile)
        for (std::size_t x = 0; x < w; ++x)
            for (std::size_t y = top; y < top + tile && y < h; ++y) {
                out.real[x * h + y] = in.real[y * w + x];
                out.imaginary[x * h + y] = in.imaginary[y * w + x];
            }
    return out;
}

void along_columns(ComplexPlane& plane) {
    const auto w = static_cast<std::size_t>(plane.width);
    Lines(plane.real.data(), plane.imaginary.data(), static_cast<std::size_t>(plane.height), w, w).transform();
}

}  // namespace

int power_of_two_from(int length) {
    int power = 1;
    while (power < length) power *= 2;
    return power;
}

void sum_of_waves(ComplexPlane& plane) {
    along_columns(plane);
    ComplexPlane turned = transposed(plane);
    along_columns(turned);
    plane = transposed(turned);
}

}  // namespace perisclera::phantoms
