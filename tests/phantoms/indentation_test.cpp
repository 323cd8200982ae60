// SPDX-License-Identifier: Apache-2.0
// What an element does to the eye: the volume it displaces and the circumference it takes away, against closed forms and published figures.
#include <gtest/gtest.h>

#include <cmath>

#include "phantoms/eye_model.h"

namespace perisclera::phantoms {
namespace {

constexpr double R = 12.0;
const GlobeShape globe = GlobeShape::sphere(R);

Element element(Form form, double width, double thickness, double indentation, double length = 0.0) {
    Element e{};
    e.material = Material::solid_silicone;
    e.form = form;
    e.section = Section::rectangle;
    e.to_hour = form == Form::radial ? 0.0 : 12.0;
    e.limbus_mm = R * (pi / 2.0 - globe.limbus_polar_angle());  // on the equator
    e.width_mm = width;
    e.thickness_mm = thickness;
    e.length_mm = length;
    e.indentation_mm = indentation;
    return e;
}

/// Volume between the undented sclera and the dented one, mm^3: the integral of (R^3 - (R - dent)^3) / 3 over solid angle.
double displaced(const Element& e) {
    const ElementShape shape(e, globe);
    constexpr int rows = 600, columns = 600;
    double sum = 0.0;
    for (int i = 0; i < rows; ++i)
        for (int j = 0; j < columns; ++j) {
            const double z = -1.0 + (2.0 * i + 1.0) / rows, clock = 2.0 * pi * (j + 0.5) / columns, r = std::sqrt(1.0 - z * z);
            sum += R * R * R - std::pow(R - shape.dent({r * std::sin(clock), r * std::cos(clock), z}), 3);
        }
    return sum / 3.0 * 4.0 * pi / (rows * columns);
}

// 3.17 (ARVO abstract 2357577; P): 1 mm of height takes 6.28 mm of circumference, whatever the radius: 2 pi times the height.
TEST(Indentation, each_millimetre_of_height_shortens_the_circumference_by_6_28_mm) {
    for (const double height : {0.5, 1.0, 1.5}) {
        EyeState state{R, globe.axial_length(), Contents::vitreous, Lens::natural, {0, 0, 0}, {element(Form::encircling, 4.0, 3.0, height)}};
        const EyeModel eye(Eye::right, state, static_cast<Label>(tissue_count));
        // Along the equator: the outermost sclera in each direction, joined by chords of a tenth of a degree.
        const auto wall = [&](double clock) {
            const EyeVector n{std::sin(clock), std::cos(clock), 0.0};
            double r = R + 0.5;
            while (eye.label_at(EyePoint{0, 0, 0} + n * r) != label(Tissue::sclera)) r -= 0.002;
            return EyePoint{0, 0, 0} + n * r;
        };
        double circumference = 0.0;
        constexpr int steps = 360;
        for (int i = 0; i < steps; ++i) circumference += length(wall(2.0 * pi * (i + 1) / steps) - wall(2.0 * pi * i / steps));
        EXPECT_NEAR(2.0 * pi * R - circumference, 6.28 * height, 0.03) << height;
    }
}

// Under a flat ring the wall is dented by the indentation over the ring's width and half of it, by symmetry of the fading edge, over its flanks: the
// zone of the sphere that wide, between the two radii, is the volume but for the cube's curvature at the flanks.
TEST(Indentation, a_ring_displaces_the_zone_between_two_spheres) {
    constexpr double width = 8.0, depth = 1.0, flank = 2.5;
    const double zone = 4.0 * pi * std::sin((width + flank) / 2.0 / R);
    const double exact = zone * (R * R * R - std::pow(R - depth, 3)) / 3.0;
    EXPECT_NEAR(displaced(element(Form::encircling, width, 3.0, depth)), exact, 0.01 * exact);
}

// 3.06 (Thompson 1985; P): 5 mm radial sponge of moderate height about 0.2 mL; 2.5 mm band about 0.5 mL; 7 to 10 mm tire 1.1 to 1.8 mL. The heights
// are not given: for the sponge half its thickness, for the tire half the high buckle of the same paper (3.05: up to 4 mm), for the band the highest
// of the model of 3.03, 1.5 mm. "About" is to the decimal published, half a tenth of a millilitre either side.
TEST(Indentation, bands_tires_and_sponges_displace_the_published_volumes) {
    EXPECT_NEAR(displaced(element(Form::radial, 5.0, 5.0, 2.5, 9.0)), 200.0, 50.0);
    EXPECT_NEAR(displaced(element(Form::encircling, 2.5, 2.0, 1.5)), 500.0, 50.0);
    for (const double width : {7.0, 8.0, 9.0, 10.0}) {
        const double volume = displaced(element(Form::encircling, width, 3.0, 2.0));
        EXPECT_GT(volume, 1100.0) << width;
        EXPECT_LT(volume, 1800.0) << width;
    }
    // A tire 4 mm high displaces up to 45 % of the vitreous cavity, which holds 5.48 +- 0.44 mL (4.02).
    const double share = displaced(element(Form::encircling, 8.5, 5.0, 4.0)) / 5480.0;
    EXPECT_GT(share, 0.35);
    EXPECT_LT(share, 0.47);
}

}  // namespace
}  // namespace perisclera::phantoms
