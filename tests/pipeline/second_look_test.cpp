// SPDX-License-Identifier: Apache-2.0
// When a second look, by a better fitted globe, may stand for the first. Elements are exact parts of spherical shells.
#include <numbers>

#include <gtest/gtest.h>

#include "src/pipeline/second_look.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

constexpr double radius = 12.2, degrees = std::numbers::pi / 180.0;
const std::vector<double> radii{radius};

AnalysedElement seen(double from_hour, double span_hours, double first_deg, std::optional<MaterialClass> label) {
    static const PolarBlock block(test::drawn_grid({0, 0, 0}, {90, 90, 60}, {0.6, 0.6, 0.8}, [](PatientPoint) { return 0.0; }), test::ball_globe(Eye::right, {0, 0, 0}, radius));
    constexpr double wide_deg = 15.0;
    const FoundElement found = test::element_of({from_hour, span_hours, first_deg * degrees, (first_deg + wide_deg) * degrees, 0.0, 1.0}, Appearance::ct_bright, 190.0, -90.0);
    return {EyeElement{0, found, {}}, measure_element(block, found), MaterialOpinion{label, {}, {}, {}, Unmeasured{"not asked"}, {}, {}}};
}

const auto solid = MaterialClass::solid_silicone;

}  // namespace

TEST(SecondLook, confirms_the_same_element_and_no_other) {
    EXPECT_TRUE(confirms({seen(1.0, 3.0, 80, solid)}, {seen(1.3, 3.0, 82, solid)}, radii));
    EXPECT_FALSE(confirms({seen(1.0, 3.0, 80, solid)}, {seen(6.0, 3.0, 80, solid)}, radii)) << "elsewhere";
    EXPECT_FALSE(confirms({seen(1.0, 3.0, 80, solid)}, {seen(1.0, 3.0, 80, {})}, radii)) << "no longer told";
    EXPECT_FALSE(confirms({seen(1.0, 3.0, 80, solid)}, {}, radii)) << "gone";
    EXPECT_FALSE(confirms({seen(1.0, 3.0, 80, solid)}, {seen(1.0, 3.0, 80, solid), seen(6.0, 3.0, 80, solid)}, radii)) << "one more";
}

TEST(SecondLook, may_show_the_ring_of_which_the_first_showed_pieces) {
    const AnalysedElement ring = seen(0.0, 12.0, 80, solid);
    EXPECT_TRUE(confirms({seen(1.0, 3.5, 80, {}), seen(7.0, 3.5, 82, solid)}, {ring}, radii));
    EXPECT_FALSE(confirms({seen(1.0, 3.5, 80, {}), seen(7.0, 3.5, 98, solid)}, {ring}, radii)) << "one does not lie along it";
    EXPECT_FALSE(confirms({seen(1.0, 3.5, 80, MaterialClass::silicone_sponge)}, {ring}, radii)) << "of another material";
    EXPECT_FALSE(confirms({ring}, {seen(1.0, 3.5, 80, solid), seen(7.0, 3.5, 80, solid)}, radii)) << "a ring does not fall to pieces";
}

}  // namespace perisclera
