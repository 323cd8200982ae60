// SPDX-License-Identifier: Apache-2.0
// A dent of known depth under a body, drawn on CT; the body was measured elsewhere, without its dent.
#include <numbers>

#include <gtest/gtest.h>

#include "perisclera/measurement/indentation_on_ct.h"
#include "tests/support/dented_eye.h"

namespace perisclera {

namespace {

constexpr double degrees = std::numbers::pi / 180.0;

FoundElement body_at(double from_hour) { return test::element_of({from_hour, 1.2, 74 * degrees, 106 * degrees, 0.0, test::DentedEye::reaches_mm}, Appearance::t2_bright, 900.0, 60.0); }

Measured<Mm> indentation(const EyeView& ct, const FoundElement& body) {
    const ElementMeasurements before = measure_element(ct.block, body), after = with_indentation_on(ct, body, before);
    EXPECT_EQ(before.volume.measured()->value(), after.volume.measured()->value()) << "the rest stays";
    return *after.indentation.measured();
}

}  // namespace

TEST(IndentationOnCt, is_the_depth_of_the_dent) {
    const EyeView ct = test::DentedEye::seen(Modality::ct, 60.0);
    const Measured<Mm> in_dent = indentation(ct, body_at(2.4));
    EXPECT_NEAR(in_dent.value().value(), test::DentedEye::dent_mm, 0.35);
    EXPECT_LE(in_dent.low().value(), test::DentedEye::dent_mm);
    EXPECT_GE(in_dent.high().value(), test::DentedEye::dent_mm);
    EXPECT_GT(in_dent.low().value(), 0.0) << "clearly indented";
    EXPECT_EQ(indentation(ct, body_at(8.4)).low().value(), 0.0) << "on the wall, not in it";
}

TEST(IndentationOnCt, leaves_an_element_without_cells_alone) {
    const EyeView ct = test::DentedEye::seen(Modality::ct, 60.0);
    const ElementMeasurements before = measure_element(ct.block, body_at(2.4));
    FoundElement nothing = body_at(2.4);
    nothing.cells.clear();
    EXPECT_EQ(with_indentation_on(ct, nothing, before).indentation.measured()->value(), before.indentation.measured()->value());
}

}  // namespace perisclera
