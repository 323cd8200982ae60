// SPDX-License-Identifier: Apache-2.0
// Elements whose shares are half as thick again as the blurred shell that the images hold: their sizes by the profiles across the wall, against closed forms of the shell.
#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include "perisclera/measurement/element_layers.h"
#include "src/measurement/joint_layers.h"
#include "tests/support/blurred_shell.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

using test::BlurredShell;
using test::ShellSector;

namespace {

constexpr double degrees = std::numbers::pi / 180.0, kvp = 120.0, thicker = 1.5;

ShellSector ring(double thickness) { return {0.0, 12.0, 70 * degrees, 90 * degrees, 0.0, thickness}; }
ShellSector piece(double thickness) { return {1.0, 4.0, 70 * degrees, 90 * degrees, 0.0, thickness}; }

/// As blur leaves it: about the same middle.
ShellSector blurred(ShellSector s) {
    const double beyond = 0.5 * (thicker - 1.0) * (s.outer_mm - s.inner_mm);
    return {s.from_hour, s.span_hours, s.first_polar, s.last_polar, s.inner_mm - beyond, s.outer_mm + beyond};
}

struct Sizes {
    ElementMeasurements by_shares, by_layers;
};

Sizes sizes_of(const BlurredShell& shell, const ShellSector& shares, Appearance appearance, unsigned seed) {
    const PolarBlock block = shell.seen(10.0, seed);
    FoundElement found = test::element_of(shares, appearance, shell.value, BlurredShell::fat);
    found.closed_ring = shares.span_hours == 12.0;
    found.thinner_than_blur = shell.thickness < 1.0;
    // No wall is bare anywhere.
    const FoundElement everywhere = test::element_of({0.0, 12.0, 5 * degrees, 165 * degrees, 0.0, shell.thickness}, appearance, shell.value, BlurredShell::fat);
    const ElementMeasurements by_shares = measure_element(block, found);
    return {by_shares, measured_by_layers(WallProfiler(block, Modality::ct, {&everywhere}), block, found, by_shares, kvp)};
}

template <class Q>
bool holds(const Measurement<Q>& m, double truth) {
    return m.measured() && m.measured()->low().value() <= truth && truth <= m.measured()->high().value();
}

template <class Q>
double value(const Measurement<Q>& m) {
    return m.measured() ? m.measured()->value().value() : std::nan("");
}

}  // namespace

TEST(ElementLayers, give_solid_silicone_its_own_thickness_area_and_volume) {
    for (const double thickness : {0.75, 1.5, 3.0})
        for (const bool all_round : {true, false}) {
            const auto sector = all_round ? ring : piece;
            const Sizes s = sizes_of({thickness, 200.0, 0.42}, blurred(sector(thickness)), Appearance::ct_bright, 1);
            ASSERT_GT(value(s.by_shares.largest_section.thickness), 1.3 * thickness);
            const double volume = sector(thickness).volume_mm3(BlurredShell::radius), area = sector(thickness).section_area_mm2(BlurredShell::radius);
            const std::string which = std::to_string(thickness) + (all_round ? " mm, ring" : " mm, piece");
            // Published fits of thin bone err by about 20 % at 0.5 mm (Treece GM et al., Med Image Anal 2010;14:276-290).
            const double thin = thickness < 1.0 ? 0.16 : 0.0;
            EXPECT_NEAR(value(s.by_layers.largest_section.thickness), thickness, std::max(0.1, (0.04 + thin) * thickness)) << which;
            // 8 % is this project's aim for thick elements, no published figure.
            EXPECT_NEAR(value(s.by_layers.largest_section.area), area, (0.08 + thin) * area) << which;
            EXPECT_NEAR(value(s.by_layers.volume), volume, (0.08 + thin) * volume) << which;
            EXPECT_TRUE(holds(s.by_layers.largest_section.thickness, thickness)) << which;
            EXPECT_TRUE(holds(s.by_layers.largest_section.area, area)) << which;
            EXPECT_TRUE(holds(s.by_layers.volume, volume)) << which;
            EXPECT_NEAR(value(s.by_layers.indentation), 0.0, 0.25) << which << ": it lies on the ball";
            EXPECT_TRUE(holds(s.by_layers.indentation, 0.0)) << which;
            const double product = (200.0 - 0.5 * (BlurredShell::wall + BlurredShell::fat)) * thickness;
            EXPECT_NEAR(value(s.by_layers.largest_section.contrast_thickness), product, 0.1 * product) << which;
            for (const MeasuredSection& section : s.by_layers.sections) EXPECT_NEAR(value(section.contrast_thickness), product, 0.3 * product) << which << " at " << section.clock_hour;
        }
}

// A sponge is taken for an oval rod; one that is a rectangle looks like a wider oval, so that its bulk is told all the same. 8 % is this project's aim, no published figure.
TEST(ElementLayers, give_a_sponge_its_own_thickness_area_and_volume) {
    constexpr double thickness = 3.0;
    const Sizes s = sizes_of({thickness, -500.0, 0.42}, blurred(piece(thickness)), Appearance::ct_dark, 2);
    EXPECT_NEAR(value(s.by_layers.largest_section.thickness), thickness, 0.15);
    const double volume = piece(thickness).volume_mm3(BlurredShell::radius), area = piece(thickness).section_area_mm2(BlurredShell::radius);
    EXPECT_NEAR(value(s.by_layers.largest_section.area), area, 0.08 * area);
    EXPECT_NEAR(value(s.by_layers.volume), volume, 0.08 * volume);
    EXPECT_TRUE(holds(s.by_layers.largest_section.area, area));
    EXPECT_TRUE(holds(s.by_layers.volume, volume));
}

// Rubbers of 112 to 271 HU were measured at 120 kV (J Digit Imaging 2020, doi 10.1007/s10278-020-00358-6): a layer thinner than the blur may be any of them.
TEST(ElementLayers, hold_a_thin_layer_whatever_its_filler) {
    for (const double hu : {130.0, 190.0, 250.0}) {
        const Sizes s = sizes_of({0.6, hu, 0.5}, blurred(ring(0.6)), Appearance::ct_bright, 3);
        ASSERT_TRUE(s.by_layers.largest_section.thickness.has_value());
        // An interval that leaves nothing out would hold it, too: it has to tell the layer from one of 1.5 mm, which shows its own signal.
        EXPECT_LT(s.by_layers.largest_section.thickness.measured()->high().value(), 1.5) << hu;
        EXPECT_TRUE(holds(s.by_layers.largest_section.thickness, 0.6)) << hu << " HU, told " << value(s.by_layers.largest_section.thickness);
    }
}

// At 80 kV rubbers show some 300 HU (table of materials), firm hydrogel some 105 (composition): what is known of rubbers leads away from one profile that shows the latter.
TEST(ElementLayers, know_a_layer_that_has_not_the_number_of_its_material) {
    const auto shows = [](double hu) {
        constexpr double product = 220.0;   // HU mm
        std::vector<PossibleThickness> possible;
        for (double t = 0.5; t < 4.0; t *= 1.05) possible.push_back({t, std::exp(-0.5 * std::pow((product / t - hu) / 8.0, 2)), product / t, 8.0});
        double sum = 0.0;
        for (const PossibleThickness& p : possible) sum += p.probability;
        for (PossibleThickness& p : possible) p.probability /= sum;
        return joint_thickness({possible}, false, 80.0);
    };
    const auto hydrogel = shows(105.0), rubber = shows(300.0);
    ASSERT_TRUE(hydrogel && rubber);
    EXPECT_TRUE(hydrogel->against_profiles);
    EXPECT_FALSE(rubber->against_profiles);
}

TEST(ElementLayers, leave_place_and_sizes_of_a_mass_alone) {
    const Sizes s = sizes_of({4.0, 15.0, 0.42}, blurred(piece(4.0)), Appearance::ct_mass, 4);
    EXPECT_EQ(value(s.by_layers.volume), value(s.by_shares.volume));
    EXPECT_EQ(value(s.by_layers.largest_section.thickness), value(s.by_shares.largest_section.thickness));
    EXPECT_EQ(value(s.by_layers.from), value(s.by_shares.from));
    EXPECT_TRUE(s.by_layers.largest_section.contrast_thickness.has_value());
}

TEST(ElementLayers, leave_sizes_by_shares_where_no_layers_explain_what_is_seen) {
    const PolarBlock block(test::drawn_grid({0, 0, 0}, {100, 100, 100}, {0.5, 0.5, 0.5}, [](PatientPoint p) { return 300.0 * std::sin(5.0 * p.x) * std::sin(5.0 * p.y); }),
                           test::ball_globe(Eye::right, {0, 0, 0}, BlurredShell::radius));
    const FoundElement found = test::element_of(ring(2.0), Appearance::ct_bright, 200.0, BlurredShell::fat);
    const ElementMeasurements by_shares = measure_element(block, found), by_layers = measured_by_layers(WallProfiler(block, Modality::ct, {&found}), block, found, by_shares, kvp);
    EXPECT_EQ(value(by_layers.volume), value(by_shares.volume));
    ASSERT_NE(by_layers.largest_section.contrast_thickness.unmeasured(), nullptr);
    EXPECT_FALSE(by_layers.largest_section.contrast_thickness.unmeasured()->why.empty());
}

}  // namespace perisclera
