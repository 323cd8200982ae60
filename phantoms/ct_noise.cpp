// SPDX-License-Identifier: Apache-2.0
#include "ct_noise.h"

#include <cmath>

#include "fourier.h"
#include "random_field.h"

namespace perisclera::phantoms {

double noise_power(const CtBlur& blur, double cycles_per_mm) {
    const double transfer = blur.transfer(cycles_per_mm);
    return cycles_per_mm * transfer * transfer;
}

CtNoise::CtNoise(const CtBlur& blur, double spacing_mm, int width, int height, double deviation) : width_(transformable_length(width)), height_(transformable_length(height)) {
    // Frequencies repeat by one per pixel; those of the neighbouring periods fold in, beyond them no kernel transfers anything.
    const auto folded = [&](int u, int v) {
        const double fx = std::remainder(static_cast<double>(u) / width_, 1.0), fy = std::remainder(static_cast<double>(v) / height_, 1.0);
        double power = 0.0;
        for (int j = -1; j <= 1; ++j)
            for (int i = -1; i <= 1; ++i) power += noise_power(blur, std::hypot(fx + i, fy + j) / spacing_mm);
        return power;
    };
    amplitude_.reserve(static_cast<std::size_t>(width_) * static_cast<std::size_t>(height_));
    double variance = 0.0;
    for (int v = 0; v < height_; ++v)
        for (int u = 0; u < width_; ++u) {
            const double power = folded(u, v);
            variance += power;
            amplitude_.push_back(static_cast<float>(std::sqrt(power)));
        }
    for (float& a : amplitude_) a *= static_cast<float>(deviation / std::sqrt(variance));
}

void CtNoise::add_to(Image& image, std::uint64_t key) const {
    ComplexPlane waves(width_, height_);
    for (std::size_t i = 0; i < amplitude_.size(); ++i) {
        const auto [cosine, sine] = normal_pair(key, i);
        waves.values[i] = static_cast<double>(amplitude_[i]) * Complex(cosine, sine);
    }
    sum_of_waves(waves);  // of which either part alone is noise of this spectrum
    for (int y = 0; y < image.height; ++y)
        for (int x = 0; x < image.width; ++x)
            image.at(x, y) += static_cast<float>(waves.at(x, y).real());
}

}  // namespace perisclera::phantoms
