// SPDX-License-Identifier: Apache-2.0
#include "ct_motion.h"

#include <cmath>

#include "fourier.h"
#include "globe_shape.h"

namespace perisclera::phantoms {

namespace {

constexpr int least_padding = 16;

/// Continues a line of `length` values to one that meets its own beginning: the two pixels between whose values one there lies, and how far.
struct Between {
    int from, to;
    float share;
};
Between continued(int place, int length, int padded) {
    if (place < length) return {place, place, 0.0f};
    return {length - 1, 0, static_cast<float>(smooth_step((place - length + 1.0) / (padded - length + 1.0)))};
}

}  // namespace

void move_during_turn(Image& image, double spacing_mm, std::array<double, 2> drift_mm) {
    ComplexPlane plane(transformable_length(image.width + least_padding), transformable_length(image.height + least_padding));
    for (int y = 0; y < plane.height; ++y) {
        const Between row = continued(y, image.height, plane.height);
        for (int x = 0; x < plane.width; ++x) {
            const Between column = continued(x, image.width, plane.width);
            const auto along_row = [&](int line) { return std::lerp(image.at(column.from, line), image.at(column.to, line), column.share); };
            plane.at(x, y) = static_cast<double>(std::lerp(along_row(row.from), along_row(row.to), row.share));
        }
    }
    sum_of_waves(plane);  // the conjugate of the image's spectrum, since the image is real
    const double scale = 1.0 / static_cast<double>(plane.values.size());
    for (int v = 0; v < plane.height; ++v)
        for (int u = 0; u < plane.width; ++u) {
            const double fx = std::remainder(static_cast<double>(u) / plane.width, 1.0), fy = std::remainder(static_cast<double>(v) / plane.height, 1.0);
            double turned = std::atan2(fy, fx) / pi;  // -1 to 1; opposite directions are one projection
            if (turned < 0.0) turned += 1.0;
            if (turned >= 1.0) turned -= 1.0;
            const double phase = -2.0 * pi * (fx * drift_mm[0] + fy * drift_mm[1]) / spacing_mm * (turned - 0.5);
            plane.at(u, v) = scale * std::conj(plane.at(u, v)) * std::polar(1.0, phase);
        }
    sum_of_waves(plane);
    for (int y = 0; y < image.height; ++y)
        for (int x = 0; x < image.width; ++x) image.at(x, y) = static_cast<float>(plane.at(x, y).real());
}

}  // namespace perisclera::phantoms
