// SPDX-License-Identifier: Apache-2.0
#include "noise_texture.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "random_field.h"

namespace perisclera::phantoms {

double NoiseTexture::at(int along_row, int down_column) const {
    if (correlation.empty()) return along_row == 0 && down_column == 0 ? 1.0 : 0.0;
    if (std::abs(along_row) > reach || std::abs(down_column) > reach) return 0.0;
    return correlation[static_cast<std::size_t>((down_column + reach) * (2 * reach + 1) + along_row + reach)];
}

CorrelatedNoise::CorrelatedNoise(const NoiseTexture& texture, int width, int height)
    : width_(transformable_length(std::max(width, 2 * texture.reach + 1))), height_(transformable_length(std::max(height, 2 * texture.reach + 1))) {
    // Wiener and Khinchin: the power spectrum is the transform of the correlation.
    ComplexPlane power(width_, height_);
    for (int y = -texture.reach; y <= texture.reach; ++y)
        for (int x = -texture.reach; x <= texture.reach; ++x) power.at((x + width_) % width_, (y + height_) % height_) = texture.at(x, y);
    sum_of_waves(power);
    double variance = 0.0;
    for (const Complex& p : power.values) variance += std::max(0.0, p.real());
    for (const Complex& p : power.values) amplitude_.push_back(texture.deviation * std::sqrt(std::max(0.0, p.real()) / variance));
}

ComplexPlane CorrelatedNoise::plane(std::uint64_t key) const {
    ComplexPlane waves(width_, height_);
    for (std::size_t i = 0; i < amplitude_.size(); ++i) {
        const auto [cosine, sine] = normal_pair(key, i);
        waves.values[i] = amplitude_[i] * Complex(cosine, sine);
    }
    sum_of_waves(waves);  // of which either part alone is noise of this spectrum
    return waves;
}

}  // namespace perisclera::phantoms
