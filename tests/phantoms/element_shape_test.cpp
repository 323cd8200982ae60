// SPDX-License-Identifier: Apache-2.0
// Expected values are closed forms of shells and sectors of a sphere, worked out here independently of the quadrature.
#include "phantoms/element_shape.h"

#include <gtest/gtest.h>

#include <cmath>

namespace perisclera::phantoms {
namespace {

constexpr double R = 12.0;
const GlobeShape globe = GlobeShape::sphere(R);
const double limbus_angle = std::asin(5.9 / R);

Element element(Form form, Section section, double from, double to, double limbus, double width, double thickness, double dent, double length = 0.0) {
    Element e{};
    e.material = Material::solid_silicone;
    e.form = form;
    e.section = section;
    e.from_hour = from;
    e.to_hour = to;
    e.limbus_mm = limbus;
    e.width_mm = width;
    e.thickness_mm = thickness;
    e.length_mm = length;
    e.indentation_mm = dent;
    return e;
}

/// Between two heights over the sphere, per unit of solid angle.
double shell(double dent, double thickness) { return (std::pow(R - dent + thickness, 3) - std::pow(R - dent, 3)) / 3.0; }

/// Solid angle between two cones about the eye's axis.
double zone(double limbus, double width) {
    return 2.0 * pi * (std::cos(limbus_angle + (limbus - width / 2) / R) - std::cos(limbus_angle + (limbus + width / 2) / R));
}

EyeVector direction(double hour, double arc) {
    const double polar = limbus_angle + arc / R, clock = hour * pi / 6.0;
    return {std::sin(polar) * std::sin(clock), std::sin(polar) * std::cos(clock), std::cos(polar)};
}

/// Volume by counting a cubic lattice through contains(): another path than the quadrature.
double counted_volume(const ElementShape& shape, double step) {
    double count = 0.0;
    const double end = R + 9.0;
    for (double x = -end; x < end; x += step)
        for (double y = -end; y < end; y += step)
            for (double z = -end; z < end; z += step) {
                const double r = std::sqrt(x * x + y * y + z * z);
                if (r > R - 2.0 && r < end && shape.contains({x / r, y / r, z / r}, r - R)) count += 1.0;
            }
    return count * step * step * step;
}

TEST(ElementShape, volume_of_a_rectangular_ring_is_a_zone_of_a_spherical_shell) {
    for (const double limbus : {8.0, 12.0, 15.0})
        for (const double thickness : {0.75, 2.0, 5.0}) {
            const ElementShape ring(element(Form::encircling, Section::rectangle, 0, 12, limbus, 3.5, thickness, 0.6), globe);
            const double exact = zone(limbus, 3.5) * shell(0.6, thickness);
            EXPECT_NEAR(ring.volume_mm3(), exact, 0.002 * exact);
        }
}

TEST(ElementShape, volume_of_a_segment_is_its_share_of_the_ring) {
    const ElementShape segment(element(Form::segmental, Section::rectangle, 10.5, 1.5, 12.0, 7.0, 2.0, 1.0), globe);
    const double exact = zone(12.0, 7.0) * shell(1.0, 2.0) * 3.0 / 12.0;
    EXPECT_NEAR(segment.volume_mm3(), exact, 0.002 * exact);
}

TEST(ElementShape, volume_of_a_radial_bar_is_that_between_two_great_circle_planes) {
    const ElementShape radial(element(Form::radial, Section::rectangle, 1.5, 1.5, 11.0, 5.0, 4.0, 1.5, 9.0), globe);
    const double exact = 9.0 / R * 2.0 * std::sin(2.5 / R) * shell(1.5, 4.0);
    EXPECT_NEAR(radial.volume_mm3(), exact, 0.002 * exact);
}

// An ellipse in (arc, height): the integral of (R + h)^2 cos(l / R) over it, to fourth order in its size over R.
TEST(ElementShape, volume_of_an_elliptical_ring_follows_pappus_with_the_spheres_curvature) {
    const double a = 2.5, b = 2.0, dent = 1.2, middle = R - dent + b;
    const ElementShape ring(element(Form::encircling, Section::ellipse, 0, 12, 12.0, 2 * a, 2 * b, dent), globe);
    const double exact = 2.0 * pi * std::sin(limbus_angle + 12.0 / R) / R * pi * a * b * (middle * middle + b * b / 4.0) * (1.0 - a * a / (8.0 * R * R));
    EXPECT_NEAR(ring.volume_mm3(), exact, 0.002 * exact);
}

// A round rod half sunk into the equator is a torus: 2 pi^2 times the radius of its middle line times that of the rod squared. The lattice of arc and height departs
// from it by the square of rod over globe, a^2 / 4 R^2 - a^2 / 8 R^2 = 0.09 % at 1 mm.
TEST(ElementShape, volume_and_section_of_a_round_ring_are_those_of_a_torus) {
    for (const double a : {0.25, 0.5, 1.0}) {
        const double equator = R * (pi / 2.0 - limbus_angle);
        const ElementShape ring(element(Form::encircling, Section::ellipse, 0, 12, equator, 2 * a, 2 * a, a), globe);
        const double exact = 2.0 * pi * pi * R * a * a;
        EXPECT_NEAR(ring.volume_mm3(), exact, 0.002 * exact) << a;
        EXPECT_NEAR(ring.largest_section().area_mm2, pi * a * a, 0.002 * pi * a * a) << a;
    }
}

// A slab of even thickness on the sphere, seen as a piece of a spherical shell: its share of the solid angle times the shell's volume.
TEST(ElementShape, volume_of_a_slab_is_its_share_of_a_spherical_shell) {
    const ElementShape slab(element(Form::segmental, Section::rectangle, 2.0, 5.0, 10.0, 10.0, 1.5, 0.0), globe);
    const double cap_to_cap = 2.0 * pi * (std::cos(limbus_angle + 5.0 / R) - std::cos(limbus_angle + 15.0 / R));
    const double whole_shell = 4.0 / 3.0 * pi * (std::pow(R + 1.5, 3) - R * R * R);
    const double exact = cap_to_cap / (4.0 * pi) * 3.0 / 12.0 * whole_shell;
    EXPECT_NEAR(slab.volume_mm3(), exact, 0.002 * exact);
}

TEST(ElementShape, volume_agrees_with_counting_a_fine_lattice) {
    for (const Element& e : {element(Form::irregular, Section::ellipse, 0.0, 3.2, 11.0, 9.0, 6.0, 1.0), element(Form::segmental, Section::ellipse, 4.0, 6.8, 12.0, 4.0, 4.0, 1.2),
                             element(Form::radial, Section::ellipse, 1.5, 1.5, 11.0, 5.0, 5.0, 1.5, 9.0)}) {
        const ElementShape shape(e, globe);
        EXPECT_NEAR(shape.volume_mm3(), counted_volume(shape, 0.137), 0.005 * shape.volume_mm3());
    }
}

TEST(ElementShape, section_of_a_rectangle_is_a_sector_of_an_annulus) {
    const ElementShape ring(element(Form::encircling, Section::rectangle, 0, 12, 12.0, 7.0, 2.0, 0.5), globe);
    const TrueSection section = ring.largest_section();
    EXPECT_NEAR(section.area_mm2, 7.0 / R * (std::pow(R + 1.5, 2) - std::pow(R - 0.5, 2)) / 2.0, 1e-3);
    EXPECT_DOUBLE_EQ(section.width_mm, 7.0);
    EXPECT_DOUBLE_EQ(section.thickness_mm, 2.0);
}

TEST(ElementShape, reaches_from_clock_hour_to_clock_hour_and_from_edge_to_edge) {
    const ElementShape segment(element(Form::segmental, Section::rectangle, 10.5, 1.5, 12.0, 7.0, 2.0, 0.0), globe);
    for (const double hour : {10.55, 11.9, 0.0, 1.45}) EXPECT_TRUE(segment.contains(direction(hour, 12.0), 1.0)) << hour;
    for (const double hour : {10.4, 1.6, 6.0}) EXPECT_FALSE(segment.contains(direction(hour, 12.0), 1.0)) << hour;
    for (const double arc : {8.6, 15.4}) EXPECT_TRUE(segment.contains(direction(0.0, arc), 1.0)) << arc;
    for (const double arc : {8.4, 15.6}) EXPECT_FALSE(segment.contains(direction(0.0, arc), 1.0)) << arc;
    for (const double height : {-0.05, 2.05}) EXPECT_FALSE(segment.contains(direction(0.0, 12.0), height)) << height;
    EXPECT_EQ(segment.limbus_extent_mm(), (std::array<double, 2>{8.5, 15.5}));
    EXPECT_EQ(segment.clock_extent(), (std::array<double, 3>{10.5, 1.5, 3.0}));
}

TEST(ElementShape, wall_gives_way_by_the_indentation_and_nowhere_overlaps_the_element) {
    for (const Section section : {Section::rectangle, Section::ellipse}) {
        const ElementShape ring(element(Form::encircling, section, 0, 12, 12.0, 5.0, 4.0, 1.2), globe);
        double deepest = 0.0;
        for (double arc = 5.0; arc < 20.0; arc += 0.05) {
            const double dent = ring.dent(direction(2.0, arc));
            deepest = std::max(deepest, dent);
            EXPECT_FALSE(ring.contains(direction(2.0, arc), -dent - 0.01)) << arc;
        }
        EXPECT_NEAR(deepest, 1.2, 1e-3);
        EXPECT_EQ(ring.dent(direction(2.0, 3.0)), 0.0);
    }
}

// The lift must never be cut off by the quick rejection: it fades to nothing before.
TEST(ElementShape, lift_fades_without_a_step) {
    for (const Element& e : {element(Form::irregular, Section::ellipse, 0.0, 3.2, 11.0, 9.0, 6.0, 1.0), element(Form::radial, Section::rectangle, 1.5, 1.5, 11.0, 5.0, 5.0, 1.5, 9.0),
                             element(Form::segmental, Section::rectangle, 11.0, 9.0, 12.0, 4.0, 3.0, 0.5)}) {
        const ElementShape shape(e, globe);
        for (double hour = 0.0; hour < 12.0; hour += 0.5)
            for (double arc = 0.0; arc < 24.0; arc += 0.05) {
                const double step = std::abs(shape.lift(direction(hour, arc + 0.05)) - shape.lift(direction(hour, arc)));
                const bool at_an_edge = shape.contains(direction(hour, arc), e.thickness_mm / 2) || shape.contains(direction(hour, arc + 0.05), e.thickness_mm / 2);
                EXPECT_LT(step, at_an_edge ? 1.2 : 0.3) << hour << " " << arc;
            }
    }
}

}  // namespace
}  // namespace perisclera::phantoms
