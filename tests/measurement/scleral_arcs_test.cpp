// SPDX-License-Identifier: Apache-2.0
// A sector between two angles from the axis, measured on a globe taken to be too small: the arcs on the true one in closed form, R (angle - asin(5.9 / R)).
#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include "perisclera/measurement/scleral_arcs.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

TEST(ScleralArcs, are_those_of_the_better_radius) {
    constexpr double own = 11.5, better = 12.1, degrees = std::numbers::pi / 180.0, cell_mm = better * PolarBlock::polar_step;
    const PolarBlock block(test::drawn_grid({0, 0, 0}, {90, 90, 60}, {0.6, 0.6, 0.8}, [](PatientPoint) { return 0.0; }), test::ball_globe(Eye::right, {0, 0, 0}, own));
    const test::ShellSector sector{1.0, 4.0, 70 * degrees, 110 * degrees, 0.0, 3.0};
    const ElementMeasurements before = measure_element(block, test::element_of(sector, Appearance::ct_bright, 370.0, -90.0));
    const ElementMeasurements m = with_arcs_on(before, own, better);
    const auto value = [](const Measurement<Mm>& q) { return q.measured()->value().value(); };
    const auto arc = [&](double angle) { return better * (angle - std::asin(5.9 / better)); };
    const auto chord = [&](double angle) { return 2.0 * better * std::sin(0.5 * arc(angle) / better); };
    EXPECT_NEAR(value(m.largest_section.width), better * (sector.last_polar - sector.first_polar), cell_mm);
    EXPECT_NEAR(value(m.limbus_anterior), arc(sector.first_polar), 0.5 * cell_mm);
    EXPECT_NEAR(value(m.limbus_posterior), arc(sector.last_polar), 0.5 * cell_mm);
    EXPECT_NEAR(value(m.caliper_anterior), chord(sector.first_polar), 0.5 * cell_mm);
    EXPECT_NEAR(value(m.caliper_posterior), chord(sector.last_polar), 0.5 * cell_mm);
    EXPECT_NEAR(value(m.limbus_posterior) - value(before.limbus_posterior), (better - own) * sector.last_polar - better * std::asin(5.9 / better) + own * std::asin(5.9 / own), 1e-9);
    EXPECT_EQ(value(m.largest_section.thickness), value(before.largest_section.thickness));
    const auto* wide = m.limbus_posterior.measured();
    const auto* was = before.limbus_posterior.measured();
    EXPECT_NEAR((wide->high() - wide->low()).value(), (was->high() - was->low()).value(), 1e-9);
}

}  // namespace perisclera
