// SPDX-License-Identifier: Apache-2.0
#include "parallel_beam.h"

#include <cmath>

#include "globe_shape.h"

namespace perisclera::phantoms {

namespace {

/// Where the pixels of one row meet the rays of one direction: the first pixel's place among the rays, and the step from pixel to pixel.
struct Track {
    float first, step;
};
Track track(int y, int side, int bins, int angle, int angles) {
    const double theta = pi * angle / angles, middle = (side - 1) / 2.0;
    const double first = (bins - 1) / 2.0 - middle * std::cos(theta) + (y - middle) * std::sin(theta);
    return {static_cast<float>(first), static_cast<float>(std::cos(theta))};
}

/// Rays enough for the plane's diagonal.
int bins_for(int side) { return static_cast<int>(std::ceil(side * std::sqrt(2.0))) + 3; }

std::vector<float> ramp_filtered(const float* in, int bins) {
    std::vector<float> out(static_cast<std::size_t>(bins));
    std::vector<float> filter(static_cast<std::size_t>(bins));
    for (int n = 0; n < bins; ++n) filter[static_cast<std::size_t>(n)] = static_cast<float>(-2.0 / (pi * pi * (4.0 * n * n - 1.0)));
    for (int i = 0; i < bins; ++i) {
        if (in[i] == 0.0f) continue;
        for (int j = 0; j < bins; ++j) out[static_cast<std::size_t>(j)] += in[i] * filter[static_cast<std::size_t>(std::abs(i - j))];
    }
    return out;
}

}  // namespace

Sinogram projected(const Image& plane, int angles) {
    Sinogram out(angles, bins_for(plane.width));
    for (int angle = 0; angle < angles; ++angle) {
        float* const rays = out.direction(angle);
        for (int y = 0; y < plane.height; ++y) {
            const Track t = track(y, plane.width, out.bins, angle, angles);
            for (int x = 0; x < plane.width; ++x) {
                const float value = plane.at(x, y);
                if (value == 0.0f) continue;
                const float place = t.first + t.step * static_cast<float>(x);
                const int bin = static_cast<int>(place);
                const float share = place - static_cast<float>(bin);
                rays[bin] += value * (1.0f - share);
                rays[bin + 1] += value * share;
            }
        }
    }
    return out;
}

Image reconstructed(const Sinogram& sinogram, int side) {
    Image out(side, side);
    const auto weight = static_cast<float>(pi / sinogram.angles);
    for (int angle = 0; angle < sinogram.angles; ++angle) {
        const std::vector<float> rays = ramp_filtered(sinogram.direction(angle), sinogram.bins);
        for (int y = 0; y < side; ++y) {
            const Track t = track(y, side, sinogram.bins, angle, sinogram.angles);
            for (int x = 0; x < side; ++x) {
                const float place = t.first + t.step * static_cast<float>(x);
                const int bin = static_cast<int>(place);
                const float share = place - static_cast<float>(bin);
                out.at(x, y) += weight * (rays[static_cast<std::size_t>(bin)] * (1.0f - share) + rays[static_cast<std::size_t>(bin) + 1] * share);
            }
        }
    }
    return out;
}

}  // namespace perisclera::phantoms
