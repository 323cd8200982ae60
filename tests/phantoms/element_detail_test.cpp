// SPDX-License-Identifier: Apache-2.0
// Grooves, overlaps, raised bands, ellipsoids, fragments and capsules. Expected values are closed forms of zones of a sphere, worked out here.
#include <gtest/gtest.h>

#include <cmath>

#include "phantoms/eye_model.h"
#include "phantoms/truth.h"

namespace perisclera::phantoms {
namespace {

constexpr double R = 12.0;
const GlobeShape globe = GlobeShape::sphere(R);
const double equator = R * (pi / 2.0 - globe.limbus_polar_angle());  // its arc from the limbus

Element ring(double width, double thickness) {
    Element e{};
    e.material = Material::solid_silicone;
    e.form = Form::encircling;
    e.section = Section::rectangle;
    e.to_hour = 12.0;
    e.limbus_mm = equator;
    e.width_mm = width;
    e.thickness_mm = thickness;
    return e;
}

/// Between two heights over the sphere and two cones so many mm of arc either side of the equator.
double zone(double width, double low, double high) {
    return 4.0 * pi * std::sin(width / 2.0 / R) * (std::pow(R + high, 3) - std::pow(R + low, 3)) / 3.0;
}

EyeVector on_equator(double hour, double arc = 0.0) {
    const double polar = pi / 2.0 + arc / R, clock = hour * pi / 6.0;
    return {std::sin(polar) * std::sin(clock), std::sin(polar) * std::cos(clock), std::cos(polar)};
}

TEST(ElementDetail, a_groove_takes_its_zone_away) {
    Element tire = ring(8.0, 2.5);
    tire.groove = {2.5, 0.8};
    const ElementShape shape(tire, globe);
    const double exact = zone(8.0, 0.0, 2.5) - zone(2.5, 1.7, 2.5);
    EXPECT_NEAR(shape.volume_mm3(), exact, 0.002 * exact);
    const double area = (8.0 * (std::pow(R + 2.5, 2) - R * R) - 2.5 * (std::pow(R + 2.5, 2) - std::pow(R + 1.7, 2))) / 2.0 / R;
    EXPECT_NEAR(shape.largest_section().area_mm2, area, 0.002 * area);
    EXPECT_TRUE(shape.contains(on_equator(4.0), 1.6));
    EXPECT_FALSE(shape.contains(on_equator(4.0), 1.8));
    EXPECT_TRUE(shape.contains(on_equator(4.0, 2.0), 1.8));
}

TEST(ElementDetail, overlapping_ends_lie_on_each_other) {
    Element band = ring(2.5, 0.7);
    band.overlap = {8.0, 6.0};
    const ElementShape shape(band, globe);
    const double exact = zone(2.5, 0.0, 0.7) + zone(2.5, 0.7, 1.4) * 6.0 / (2.0 * pi * R);
    EXPECT_NEAR(shape.volume_mm3(), exact, 0.002 * exact);
    EXPECT_NEAR(shape.largest_section().thickness_mm, 1.4, 1e-12);
    EXPECT_NEAR(shape.largest_section().clock_hour, 8.0, 3.0 / R * 6.0 / pi);
    const double quarter = 1.5 / R * 6.0 / pi, beyond = 3.2 / R * 6.0 / pi;
    EXPECT_TRUE(shape.contains(on_equator(8.0 + quarter), 1.3));
    EXPECT_FALSE(shape.contains(on_equator(8.0 + beyond), 1.3));
    EXPECT_TRUE(shape.contains(on_equator(8.0 + beyond), 0.6));
}

// A tire from 1 to 5 o'clock, and a band that lies in its groove there and on the sclera elsewhere: no point is claimed twice.
TEST(ElementDetail, a_raised_band_lies_in_the_groove_of_a_tire) {
    Element tire = ring(8.0, 2.5);
    tire.form = Form::segmental;
    tire.from_hour = 1.0, tire.to_hour = 5.0;
    tire.indentation_mm = 1.0;
    tire.groove = {3.0, 0.8};
    Element band = ring(2.5, 0.7);
    band.indentation_mm = 0.3;
    band.raised = {1.0, 5.0, 2.5 - 1.0 - 0.8};
    const ElementShape below(tire, globe), above(band, globe);
    for (double hour = 0.0; hour < 12.0; hour += 0.1)
        for (double arc = -5.0; arc < 5.0; arc += 0.1)
            for (double h = -1.2; h < 3.0; h += 0.05)
                EXPECT_FALSE(below.contains(on_equator(hour, arc), h + 1e-6) && above.contains(on_equator(hour, arc), h + 1e-6)) << hour;
    EXPECT_TRUE(above.contains(on_equator(3.0), 0.75));
    EXPECT_FALSE(above.contains(on_equator(3.0), 0.65));
    EXPECT_TRUE(above.contains(on_equator(9.0), -0.25));
    EXPECT_EQ(above.dent(on_equator(3.0)), 0.0);
    EXPECT_NEAR(above.dent(on_equator(9.0)), 0.3, 1e-12);
}

// Half sunk, small against the globe: 4/3 pi abc, with the second order in b and c over R: 1 + c^2 / 5 R^2 - b^2 / 10 R^2.
TEST(ElementDetail, without_lumps_a_mass_is_an_ellipsoid) {
    constexpr double a = 4.0, b = 2.0, c = 1.5;
    Element mass = ring(2.0 * b, 2.0 * c);
    mass.form = Form::irregular;
    mass.section = Section::ellipse;
    mass.material = Material::hydrogel;
    mass.lumpiness = 0.0;
    mass.from_hour = 3.0 - a / R * 6.0 / pi, mass.to_hour = 3.0 + a / R * 6.0 / pi;
    mass.indentation_mm = c;
    const ElementShape shape(mass, globe);
    const double exact = 4.0 / 3.0 * pi * a * b * c * (1.0 + c * c / 5.0 / R / R - b * b / 10.0 / R / R);
    EXPECT_NEAR(shape.volume_mm3(), exact, 0.002 * exact);
    EXPECT_NEAR(shape.largest_section().area_mm2, pi * b * c, 0.002 * pi * b * c);
}

TEST(ElementDetail, fragments_are_the_element_less_the_gaps) {
    Element whole = ring(5.0, 3.0);
    whole.form = Form::segmental;
    whole.from_hour = 1.0, whole.to_hour = 4.0;
    Element broken = whole;
    broken.fragments = 3;
    broken.gap_mm = 1.5;
    const double length = 3.0 / 12.0 * 2.0 * pi * R, exact = zone(5.0, 0.0, 3.0) * 3.0 / 12.0 * (1.0 - 2.0 * 1.5 / length);
    const ElementShape shape(broken, globe);
    EXPECT_NEAR(shape.volume_mm3(), exact, 0.002 * exact);
    int pieces = 0;
    bool within = false;
    for (double hour = 0.5; hour < 4.5; hour += 0.01) {
        const bool here = shape.contains(on_equator(hour), 1.0);
        pieces += here && !within ? 1 : 0;
        within = here;
    }
    EXPECT_EQ(pieces, 3);
}

TEST(ElementDetail, a_capsule_surrounds_the_element_and_is_not_its_volume) {
    Element gel = ring(8.0, 4.0);
    gel.form = Form::segmental;
    gel.section = Section::ellipse;
    gel.material = Material::hydrogel;
    gel.from_hour = 1.0, gel.to_hour = 4.0;
    gel.indentation_mm = 1.0;
    Element bare = gel;
    gel.capsule_mm = 0.8;
    EXPECT_EQ(ElementShape(gel, globe).volume_mm3(), ElementShape(bare, globe).volume_mm3());
    const auto share_of_bone = [&](double calcified) {
        gel.calcified_share = calcified;
        const EyeModel eye(Eye::right, {R, globe.axial_length(), Contents::vitreous, Lens::natural, {0, 0, 0}, {gel}},
                           static_cast<Label>(tissue_count));
        int bone = 0, fibre = 0;
        for (double hour = 1.1; hour < 3.9; hour += 0.05)
            for (double arc = -4.4; arc < 4.4; arc += 0.2) {
                const EyeVector n = on_equator(hour, arc);
                bool within = false;
                for (double r = R - 3.0; r < R + 6.0; r += 0.1) {
                    const auto l = eye.label_at(EyePoint{0, 0, 0} + n * r);
                    within = within || l == static_cast<Label>(tissue_count);
                    if (within && l == label(Tissue::dura)) ++fibre;
                    if (within && l == label(Tissue::cortical_bone)) ++bone;
                }
                // From the outer face inwards a ray through the element meets capsule before it, and capsule again before the wall.
                if (within) {
                    EXPECT_NE(eye.label_at(EyePoint{0, 0, 0} + n * (R + 3.0 + 0.75)), static_cast<Label>(tissue_count));
                }
            }
        EXPECT_GT(bone + fibre, 1000);
        return static_cast<double>(bone) / (bone + fibre);
    };
    EXPECT_EQ(share_of_bone(0.0), 0.0);
    EXPECT_GT(share_of_bone(1.0), 0.98);
    EXPECT_NEAR(share_of_bone(0.3), 0.3, 0.06);  // counted over the element only, at its flanks by length of the ray
}

TEST(ElementDetail, truth_tells_of_overlap_fragments_and_capsule) {
    Element band = ring(2.5, 0.7);
    band.overlap = {8.0, 6.0};
    band.fragments = 2;
    band.gap_mm = 1.0;
    const EyeState with{R, globe.axial_length(), Contents::vitreous, Lens::natural, {0, 0, 0}, {band}};
    const std::string text = truth_json({{"2020-01-01", {}, {with, with}}});
    EXPECT_NE(text.find("\"kind\": \"overlap\""), std::string::npos);
    EXPECT_NE(text.find("\"fragments\": 2"), std::string::npos);
    EXPECT_EQ(text.find("capsule_mm"), std::string::npos);
}

}  // namespace
}  // namespace perisclera::phantoms
