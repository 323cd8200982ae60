// SPDX-License-Identifier: Apache-2.0
#include "blurred_shell.h"

#include <cmath>
#include <numbers>
#include <random>

#include "drawn_eye.h"

namespace perisclera::test {

namespace {

/// A ball of signal 1 under an isotropic Gaussian, at a distance from its centre: the radial integral of ball and Gaussian in three dimensions, done by parts.
double blurred_ball(double ball, double r, double blur) {
    const double near = (ball - r) / blur, far = (ball + r) / blur;
    return 0.5 * (std::erf(near / std::numbers::sqrt2) + std::erf(far / std::numbers::sqrt2)) - blur / (r * std::sqrt(2.0 * std::numbers::pi)) * (std::exp(-0.5 * near * near) - std::exp(-0.5 * far * far));
}

}  // namespace

double BlurredShell::at(double r) const {
    return fat + (value - fat) * blurred_ball(radius + thickness, r, blur) + (wall - value) * blurred_ball(radius, r, blur) + (vitreous - wall) * blurred_ball(radius - wall_mm, r, blur);
}

PolarBlock BlurredShell::seen(double noise, unsigned seed) const {
    std::mt19937 chance(seed);
    std::normal_distribution<double> normal(0.0, noise);
    constexpr int size = 72;
    constexpr double spacing = 0.5, half = 0.5 * (size - 1) * spacing;
    const auto geometry = VolumeGeometry::make({-half, -half, -half}, {1, 0, 0}, {0, 1, 0}, {0, 0, spacing}, {spacing, spacing}, {size, size, size}).value();
    std::vector<float> values;
    for (int z = 0; z < size; ++z)
        for (int y = 0; y < size; ++y)
            for (int x = 0; x < size; ++x) {
                const double r = std::hypot(x * spacing - half, y * spacing - half, z * spacing - half);
                values.push_back(static_cast<float>(at(std::max(r, 0.1)) + normal(chance)));
            }
    return PolarBlock(VoxelGrid(geometry, std::move(values)), ball_globe(Eye::right, {0, 0, 0}, radius));
}

}  // namespace perisclera::test
