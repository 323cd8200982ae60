// SPDX-License-Identifier: Apache-2.0
// Every interval holds its value and a size never reaches below zero, down to elements of one cell.
#include <algorithm>
#include <numbers>

#include <gtest/gtest.h>

#include "perisclera/measurement/element_measurements.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

template <class Q>
void sound(const Measurement<Q>& m, const char* what, double size) {
    if (!m.has_value()) return;
    const auto& v = *m.measured();
    EXPECT_LE(v.low().value(), v.value().value()) << what;
    EXPECT_GE(v.high().value(), v.value().value()) << what;
    EXPECT_GE(v.low().value(), 0.0) << what << " of an element of " << size << " mm: " << v.value().value();
}

}  // namespace

TEST(Intervals, hold_their_value_and_stay_above_zero) {
    for (const double slice : {0.8, 3.0}) {
        const PolarBlock block(test::drawn_grid({0, 0, 0}, {90, 90, static_cast<int>(48 / slice)}, {0.6, 0.6, slice}, [](PatientPoint) { return 0.0; }), test::ball_globe(Eye::right, {0, 0, 0}, 12.2));
        for (const double size : {0.5, 1.0, 2.0, 4.0}) {
            const double half = 0.5 * size / 12.2;
            FoundElement e = test::element_of({2.0, std::max(0.2, size * 0.7), std::numbers::pi / 2 - half, std::numbers::pi / 2 + half, 0.0, size}, Appearance::ct_dark, -550, -90);
            e.core_signal_uncertainty = 120.0;
            const auto m = measure_element(block, e);
            double sum = 0;
            for (const auto& c : e.cells) sum += static_cast<double>(c.share) * block.cell_volume_mm3(PolarBlock::cell(c.index));
            EXPECT_NEAR(m.volume.measured()->value().value(), sum, 1e-6 * sum);
            sound(m.volume, "volume", size);
            sound(m.length, "length", size);
            sound(m.indentation, "indentation", size);
            sound(m.span, "span", size);
            sound(m.largest_section.area, "area", size);
            sound(m.largest_section.width, "width", size);
            sound(m.largest_section.thickness, "thickness", size);
            for (const auto& s : m.sections) sound(s.area, "section area", size), sound(s.width, "section width", size), sound(s.thickness, "section thickness", size);
        }
    }
}

}  // namespace perisclera
