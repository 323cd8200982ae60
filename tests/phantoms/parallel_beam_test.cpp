// SPDX-License-Identifier: Apache-2.0
// Line integrals and their inversion against the closed form of a disc: chords of length 2 sqrt(R^2 - s^2), their mean over a ray's breadth from the
// disc's area beside a chord, s sqrt(R^2 - s^2) + R^2 asin(s / R), and the disc itself.
#include "phantoms/parallel_beam.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

namespace perisclera::phantoms {
namespace {

constexpr int side = 128, angles = 180;
constexpr double radius = 40.0, middle_x = 70.0, middle_y = 60.0, plane_middle = (side - 1) / 2.0;

double from_centre(double x, double y) { return std::hypot(x - middle_x, y - middle_y); }

Image disc() {
    Image image(side, side);
    for (int y = 0; y < side; ++y)
        for (int x = 0; x < side; ++x) image.at(x, y) = static_cast<float>(std::clamp(radius + 0.5 - from_centre(x, y), 0.0, 1.0));
    return image;
}

// Chords at least five pixels from the disc's edge, where a pixelled disc is as good as round; sharing pixels out between two rays ripples by a few per cent.
TEST(ParallelBeam, rays_through_a_disc_measure_its_chords) {
    const Sinogram rays = projected(disc(), angles);
    for (int angle = 0; angle < angles; angle += 7) {
        const double theta = std::acos(-1.0) * angle / angles;
        const double centre = (middle_x - plane_middle) * std::cos(theta) + (middle_y - plane_middle) * std::sin(theta);
        for (int bin = 0; bin < rays.bins; ++bin) {
            const double s = bin - (rays.bins - 1) / 2.0 - centre;
            if (std::abs(s) > radius - 5.0) continue;
            const double chord = 2.0 * std::sqrt(radius * radius - s * s);
            EXPECT_NEAR(static_cast<double>(rays.direction(angle)[bin]), chord, 0.05 * chord) << angle << " " << s;
        }
    }
}

TEST(ParallelBeam, a_disc_comes_back_from_the_closed_form_of_its_rays) {
    Sinogram rays(angles, 185);
    for (int angle = 0; angle < angles; ++angle) {
        const double theta = std::acos(-1.0) * angle / angles;
        const double centre = (middle_x - plane_middle) * std::cos(theta) + (middle_y - plane_middle) * std::sin(theta);
        for (int bin = 0; bin < rays.bins; ++bin) {
            const double s = bin - (rays.bins - 1) / 2.0 - centre;
            const auto area_before = [](double place) {
                const double inside = std::clamp(place, -radius, radius);
                return inside * std::sqrt(radius * radius - inside * inside) + radius * radius * std::asin(inside / radius);
            };
            rays.direction(angle)[bin] = static_cast<float>(area_before(s + 0.5) - area_before(s - 0.5));
        }
    }
    const Image back = reconstructed(rays, side);
    for (int y = 10; y < side - 10; ++y)
        for (int x = 10; x < side - 10; ++x) {
            const double r = from_centre(x, y);
            if (std::abs(r - radius) < 4.0) continue;
            EXPECT_NEAR(static_cast<double>(back.at(x, y)), r < radius ? 1.0 : 0.0, 0.03) << x << " " << y;
        }
}

}  // namespace
}  // namespace perisclera::phantoms
