// SPDX-License-Identifier: Apache-2.0
// Size and place of elements that are exact parts of spherical shells, against their closed forms; definitions: docs/measurements.md.
#include <algorithm>
#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include "perisclera/measurement/element_measurements.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

constexpr double radius = 12.2, degrees = std::numbers::pi / 180.0;
constexpr double cell_mm = radius * PolarBlock::polar_step, hour_cell = 0.1;   // what one cell of the grid is wide

const PolarBlock& block() {
    static const PolarBlock made(test::drawn_grid({0, 0, 0}, {90, 90, 60}, {0.6, 0.6, 0.8}, [](PatientPoint) { return 0.0; }), test::ball_globe(Eye::right, {0, 0, 0}, radius));
    return made;
}

/// Solid silicone, since a sector's section has corners: what is dark on CT is taken for a rod.
FoundElement solid(const test::ShellSector& sector) { return test::element_of(sector, Appearance::ct_bright, 370.0, -90.0); }

ElementMeasurements measured(const test::ShellSector& sector) { return measure_element(block(), solid(sector)); }

template <class Q>
void expect_about(const Measurement<Q>& said, double truth, double tolerance, const char* what) {
    ASSERT_TRUE(said.has_value()) << what;
    const Measured<Q>& m = *said.measured();
    EXPECT_NEAR(m.value().value(), truth, tolerance) << what;
    EXPECT_LE(m.low().value(), truth) << what;
    EXPECT_GE(m.high().value(), truth) << what;
}

double limbus_arc(double polar) { return radius * (polar - std::asin(5.9 / radius)); }
double chord(double arc) { return 2.0 * radius * std::sin(0.5 * arc / radius); }

class Sector : public ::testing::TestWithParam<test::ShellSector> {};

}  // namespace

TEST_P(Sector, is_measured_as_its_closed_form) {
    const test::ShellSector& s = GetParam();
    const ElementMeasurements m = measured(s);
    const double volume = s.volume_mm3(radius), area = s.section_area_mm2(radius);
    EXPECT_EQ(m.form, ElementForm::segmental);
    expect_about(m.volume, volume, 0.02 * volume, "volume");
    expect_about(m.from, std::fmod(s.from_hour, 12.0), hour_cell, "from");
    expect_about(m.to, std::fmod(s.from_hour + s.span_hours, 12.0), hour_cell, "to");
    expect_about(m.span, s.span_hours, 2 * hour_cell, "span");
    EXPECT_NEAR(ClockPosition(m.middle_clock_hour).distance_to(ClockPosition(s.from_hour + 0.5 * s.span_hours)).value(), 0.0, 0.05);
    expect_about(m.limbus_anterior, limbus_arc(s.first_polar), 0.5 * cell_mm, "anterior edge");
    expect_about(m.limbus_posterior, limbus_arc(s.last_polar), 0.5 * cell_mm, "posterior edge");
    expect_about(m.caliper_anterior, chord(limbus_arc(s.first_polar)), 0.5 * cell_mm, "anterior edge, straight");
    expect_about(m.caliper_posterior, chord(limbus_arc(s.last_polar)), 0.5 * cell_mm, "posterior edge, straight");
    expect_about(m.largest_section.area, area, 0.03 * area, "section");
    expect_about(m.largest_section.thickness, s.outer_mm - s.inner_mm, 0.1, "thickness");
    expect_about(m.largest_section.width, radius * (s.last_polar - s.first_polar), cell_mm, "width");
    expect_about(m.indentation, std::max(0.0, -s.inner_mm), 0.1, "indentation");
    EXPECT_EQ(m.fragments, 1);
    const double a = radius + s.inner_mm, b = radius + s.outer_mm;
    EXPECT_NEAR(m.middle_height_mm, 0.75 * (std::pow(b, 4) - std::pow(a, 4)) / (std::pow(b, 3) - std::pow(a, 3)) - radius, 0.05) << "centroid of a shell";
    // The section's area along the path of its centroid is the volume (Pappus). The ends lie up to one cell outside, hence the tolerance.
    const double path = volume / area;
    ASSERT_TRUE(m.length.has_value());
    EXPECT_NEAR(m.length.measured()->value().value(), path, 2 * hour_cell / s.span_hours * path);
    for (const MeasuredSection& section : m.sections) EXPECT_LE(ClockPosition(s.from_hour - 0.1).clockwise_to(ClockPosition(section.clock_hour)).value(), s.span_hours + 0.2);
    EXPECT_GE(m.sections.size(), static_cast<std::size_t>(2.0 * s.span_hours) - 1);
}

INSTANTIATE_TEST_SUITE_P(places, Sector,
                         ::testing::Values(test::ShellSector{1.27, 2.76, 78 * degrees, 103 * degrees, 0.0, 4.1}, test::ShellSector{10.6, 3.3, 84.5 * degrees, 99 * degrees, -1.2, 2.3},
                                           test::ShellSector{5.05, 5.9, 90 * degrees, 115.5 * degrees, 0.3, 3.35}),
                         [](const auto& about) { return "sector_" + std::to_string(about.index); });

// What lies beside a swollen body and looks like it is taken in at some clock hours: the largest of many sections is most likely that error, unless much of the ring is larger.
TEST(ElementMeasurements, largest_section_of_an_outline_all_round_is_not_its_greatest_error) {
    const test::ShellSector ring{0.0, 12.0, 80 * degrees, 104 * degrees, 0.0, 4.0};
    const auto largest_with = [&](const test::ShellSector& more) {
        FoundElement element = test::element_of(ring, Appearance::t2_bright, 900.0, 300.0);
        const FoundElement other = test::element_of(more, Appearance::t2_bright, 900.0, 300.0);
        element.cells.insert(element.cells.end(), other.cells.begin(), other.cells.end());
        std::sort(element.cells.begin(), element.cells.end(), [](const ElementCell& a, const ElementCell& b) { return a.index < b.index; });
        element.edge_seen = 0.9;
        return measure_element(block(), element).largest_section.area.measured()->value().value();
    };
    const auto above = [&](double from, double span, double outer_mm) { return test::ShellSector{from, span, ring.first_polar, ring.last_polar, ring.outer_mm, outer_mm}; };
    const double even = ring.section_area_mm2(radius);
    EXPECT_NEAR(largest_with(above(3.0, 1.5, 5.5)), even, 0.08 * even) << "an hour and a half of gland taken in";
    const double swollen = even + above(3.0, 6.0, 7.0).section_area_mm2(radius);
    EXPECT_NEAR(largest_with(above(3.0, 6.0, 7.0)), swollen, 0.08 * swollen) << "half of it has swollen";
}

TEST(ElementMeasurements, a_ring_has_no_ends) {
    const test::ShellSector ring{0.0, 12.0, 83 * degrees, 95 * degrees, 0.0, 2.0};
    const ElementMeasurements m = measured(ring);
    EXPECT_EQ(m.form, ElementForm::encircling);
    EXPECT_EQ(m.span.measured()->value().value(), 12.0);
    EXPECT_EQ(m.from.measured()->value().value(), 0.0);
    EXPECT_EQ(m.to.measured()->value().value(), 0.0);
    expect_about(m.volume, ring.volume_mm3(radius), 0.02 * ring.volume_mm3(radius), "volume");
    expect_about(m.largest_section.area, ring.section_area_mm2(radius), 0.03 * ring.section_area_mm2(radius), "section");
    EXPECT_EQ(m.sections.size(), 24U) << "each half hour";
}

// 12 mm along the meridian, 4 mm across: the section is the cut across its length.
TEST(ElementMeasurements, a_radial_element_is_cut_across_its_length) {
    const double across_hours = 4.0 / radius * 6.0 / std::numbers::pi;
    const test::ShellSector radial{2.0 - across_hours / 2, across_hours, 70 * degrees, 70 * degrees + 12.0 / radius, 0.0, 3.0};
    const ElementMeasurements m = measured(radial);
    EXPECT_EQ(m.form, ElementForm::radial);
    expect_about(m.volume, radial.volume_mm3(radius), 0.02 * radial.volume_mm3(radius), "volume");
    // Widest at the equator: the cut at 90 degrees is an annular sector of the clock's angle.
    const double angle = across_hours * std::numbers::pi / 6.0, area = angle * (std::pow(radius + 3.0, 2) - radius * radius) / 2.0;
    expect_about(m.largest_section.area, area, 0.05 * area, "section");
    expect_about(m.largest_section.width, 4.0, 0.65, "width, to one cell of the clock");
    expect_about(m.largest_section.thickness, 3.0, 0.1, "thickness");
    expect_about(m.length, 12.0 * (radius + 1.5) / radius, 0.6, "length");
}

// A sponge of oval section, 5 mm wide and 4 mm thick: its volume is the ellipse's area times the way of its middle (Pappus, to first order
// in thickness over radius), its width the ellipse's axis.
TEST(ElementMeasurements, a_rod_is_as_wide_as_its_oval_section) {
    constexpr double width = 5.0, thickness = 4.0, middle_polar = 92 * degrees, from = 3.0, span = 3.0;
    FoundElement rod{Appearance::ct_dark, {}, -550.0, 0.0, -90.0, false, false, 3.0};
    for (std::size_t i = 0; i < PolarBlock::cell_count; ++i) {
        const PolarCell c = PolarBlock::cell(i);
        const double hour = PolarBlock::clock_hours(c.clock);
        if (hour < from || hour >= from + span) continue;
        int inside = 0;
        constexpr int parts = 8;
        for (int a = 0; a < parts; ++a)
            for (int b = 0; b < parts; ++b) {
                const double polar = PolarBlock::polar_radians(c.polar) + ((a + 0.5) / parts - 0.5) * PolarBlock::polar_step;
                const double height = PolarBlock::height_mm(c.height) + ((b + 0.5) / parts - 0.5) * PolarBlock::height_step_mm;
                inside += std::hypot((polar - middle_polar) * radius / (0.5 * width), (height - 0.5 * thickness) / (0.5 * thickness)) < 1.0;
            }
        if (inside > 0) rod.cells.push_back({i, static_cast<float>(inside) / (parts * parts)});
    }
    const ElementMeasurements m = measure_element(block(), rod);
    expect_about(m.largest_section.width, width, cell_mm, "width");
    expect_about(m.largest_section.thickness, thickness, 0.2, "thickness");
    // Cells widen with height: an arc on the sclera of the middle's height is (R + t/2) / R as long.
    const double area = std::numbers::pi / 4.0 * width * thickness * (radius + 0.5 * thickness) / radius;
    expect_about(m.largest_section.area, area, 0.03 * area, "section");
}

TEST(ElementMeasurements, pieces_are_counted_and_their_volumes_added) {
    const test::ShellSector first{1.0, 1.5, 80 * degrees, 100 * degrees, 0.0, 3.0}, second{3.6, 1.5, 80 * degrees, 100 * degrees, 0.0, 3.0};
    FoundElement both = solid(first);
    for (const ElementCell& cell : solid(second).cells) both.cells.push_back(cell);
    const ElementMeasurements m = measure_element(block(), both);
    EXPECT_EQ(m.fragments, 2);
    const double volume = first.volume_mm3(radius) + second.volume_mm3(radius);
    expect_about(m.volume, volume, 0.02 * volume, "volume");
    expect_about(m.from, 1.0, hour_cell, "from");
    expect_about(m.to, 5.1, hour_cell, "to");
}

// Where contents and surroundings show nearly the same, noise makes shares of either sign, whose sum may be below nothing.
TEST(ElementMeasurements, an_element_whose_shares_sum_to_less_than_nothing_still_has_its_place) {
    const test::ShellSector s{4.0, 2.0, 80 * degrees, 100 * degrees, 0.0, 3.0};
    FoundElement noisy = solid(s);
    for (std::size_t i = 0; i < noisy.cells.size(); ++i) noisy.cells[i].share = i % 3 == 0 ? 0.2f : -0.2f;
    const ElementMeasurements m = measure_element(block(), noisy);
    EXPECT_NEAR(m.middle_clock_hour, 5.0, 0.2);
    EXPECT_LT(m.volume.measured()->value().value(), 0.01 * s.volume_mm3(radius));
    EXPECT_GE(m.from.measured()->high().value(), m.from.measured()->value().value());
}

// A mass is known by the fat it holds off; where there is none it may go on. Seen over 7 hours of 12 it may be a whole ring.
TEST(ElementMeasurements, a_mass_round_half_the_eye_may_go_all_round) {
    const test::ShellSector seen{1.0, 7.0, 75 * degrees, 105 * degrees, 0.0, 5.0}, ring{0.0, 12.0, 75 * degrees, 105 * degrees, 0.0, 5.0};
    const ElementMeasurements mass = measure_element(block(), test::element_of(seen, Appearance::ct_mass, 40.0, -90.0));
    EXPECT_GE(mass.volume.measured()->high().value(), ring.volume_mm3(radius));
    EXPECT_EQ(mass.span.measured()->high().value(), 12.0);
    EXPECT_LT(measured(seen).volume.measured()->high().value(), 0.9 * ring.volume_mm3(radius)) << "silicone is seen whole";
}

TEST(ElementMeasurements, knows_less_where_the_signal_is_unsure) {
    const test::ShellSector s{1.27, 2.76, 78 * degrees, 103 * degrees, 0.0, 4.1};
    FoundElement unsure = solid(s);
    unsure.core_signal_uncertainty = 100.0;
    EXPECT_GT(measure_element(block(), unsure).volume.measured()->standard_uncertainty(), measured(s).volume.measured()->standard_uncertainty());
}

// In thick slices bone shares voxels with what lies along it (partial volume); thin ones show the two apart.
TEST(ElementMeasurements, of_what_lies_along_bone_on_thick_slices_are_less_certain) {
    const test::ShellSector tire{1.0, 3.0, 80 * degrees, 104 * degrees, 0.0, 2.7}, bone{0.0, 12.0, 60 * degrees, 120 * degrees, 3.5, 9.0};
    const FoundElement element = test::element_of(tire, Appearance::ct_bright, 200.0, -90.0);
    const auto doubt = [&](bool beside, double slice_mm) {
        const Globe globe = test::ball_globe(Eye::right, {0, 0, 0}, radius);
        const PolarBlock block(test::drawn_grid({0, 0, 0}, {54, 54, static_cast<int>(54.0 / slice_mm)}, {1.0, 1.0, slice_mm}, [&](PatientPoint p) {
            const EyePoint e = globe.frame.to_eye(p);
            return beside && std::hypot(e.x, e.y, e.z) > radius + bone.inner_mm && bone.holds(e, radius) ? 900.0 : 0.0;
        }), globe);
        const ElementMeasurements m = measure_element(block, element);
        return m.volume.measured()->standard_uncertainty() / m.volume.measured()->value();
    };
    EXPECT_GT(doubt(true, 3.0), 1.5 * doubt(false, 3.0));
    EXPECT_LT(doubt(true, 1.0) - doubt(false, 1.0), 0.5 * (doubt(true, 3.0) - doubt(false, 3.0)));
}

}  // namespace perisclera
