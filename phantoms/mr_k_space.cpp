// SPDX-License-Identifier: Apache-2.0
#include "mr_k_space.h"

#include <algorithm>
#include <cmath>

#include "globe_shape.h"

namespace perisclera::phantoms {

namespace {

/// Place of a frequency among `n` coefficients of a discrete transform.
int bin(int frequency, int n) { return frequency < 0 ? frequency + n : frequency; }

}  // namespace

Encoding::Encoding(int pixels, int cells_per_pixel, double zero_filling, int drawn)
    : fine_(pixels * cells_per_pixel), image_(pixels), samples_(std::max(1, static_cast<int>(std::lround(pixels / zero_filling)))) {
    const double per_pixel = static_cast<double>(cells()) / pixels;
    for (int i = 0; i < samples_; ++i) {
        // Cell c has its middle at pixel (c + 1/2) / n - 1/2.
        const double turns = static_cast<double>(frequency(i)) / pixels, angle = -2.0 * pi * turns * (0.5 / per_pixel - 0.5);
        const double x = pi * frequency(i) / cells(), attenuation = x == 0.0 ? 1.0 : std::pow(std::sin(x) / x, drawn);
        correction_.push_back(std::polar(1.0 / (per_pixel * attenuation), angle));
    }
}

KSpace::KSpace(Encoding frequency, Encoding phase) : frequency_(std::move(frequency)), phase_(std::move(phase)) {}

ComplexPlane KSpace::sampled(ComplexPlane drawn) const {
    frequency_.fine_.forward(drawn.values.data(), 1, drawn.height, drawn.width);
    ComplexPlane rows(frequency_.samples(), drawn.height);
    for (int y = 0; y < drawn.height; ++y)
        for (int i = 0; i < rows.width; ++i)
            rows.at(i, y) = drawn.at(bin(frequency_.frequency(i), drawn.width), y) * frequency_.correction_[static_cast<std::size_t>(i)];
    phase_.fine_.forward(rows.values.data(), rows.width, rows.width, 1);
    ComplexPlane samples(frequency_.samples(), phase_.samples());
    for (int j = 0; j < samples.height; ++j)
        for (int i = 0; i < samples.width; ++i)
            samples.at(i, j) = rows.at(i, bin(phase_.frequency(j), rows.height)) * phase_.correction_[static_cast<std::size_t>(j)];
    return samples;
}

ComplexPlane KSpace::image(const ComplexPlane& samples) const {
    ComplexPlane out(frequency_.pixels(), phase_.pixels());
    const double scale = 1.0 / (static_cast<double>(out.width) * out.height);
    for (int j = 0; j < samples.height; ++j)
        for (int i = 0; i < samples.width; ++i)
            out.at(bin(frequency_.frequency(i), out.width), bin(phase_.frequency(j), out.height)) = samples.at(i, j) * scale;
    frequency_.image_.backward(out.values.data(), 1, out.height, out.width);
    phase_.image_.backward(out.values.data(), out.width, out.width, 1);
    return out;
}

void add_swinging(ComplexPlane& samples, const ComplexPlane& object, const KSpace& k_space, const Swing& swing) {
    const double along = swing.along_frequency / k_space.frequency().pixels(), across = swing.along_phase / k_space.phase().pixels();
    for (int j = 0; j < samples.height; ++j) {
        const double place = std::sin(2.0 * pi * swing.cycles * j / samples.height);
        for (int i = 0; i < samples.width; ++i)
            samples.at(i, j) +=
                object.at(i, j) *
                std::polar(1.0, -2.0 * pi * place * (along * k_space.frequency().frequency(i) + across * k_space.phase().frequency(j)));
    }
}

double KSpace::noise_in_k_space(double deviation) const {
    return deviation * static_cast<double>(frequency_.pixels()) * phase_.pixels() /
           std::sqrt(static_cast<double>(frequency_.samples()) * phase_.samples());
}

}  // namespace perisclera::phantoms
