// SPDX-License-Identifier: Apache-2.0
// Bodies as dense as soft tissue round a ball in fat, with a patch on their outer face that is calcium, silicone, bone or part of another element by
// how it was drawn.
#include "perisclera/segmentation/rim_calcification.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

constexpr double radius = 12.0, degrees = std::numbers::pi / 180.0, fat = -95.0, body_hu = 30.0, calcium_hu = 900.0, kvp = 120.0;
constexpr test::ShellSector body{2.0, 3.0, 75 * degrees, 105 * degrees, 0.0, 4.0}, patch{3.0, 0.9, 84 * degrees, 96 * degrees, 4.0, 5.0},
    thick_patch{3.0, 0.9, 84 * degrees, 96 * degrees, 3.0, 6.0}, small_patch{3.4, 0.15, 89 * degrees, 91 * degrees, 4.0, 4.5},
    through_patch{3.0, 0.9, 84 * degrees, 96 * degrees, 4.0, 9.0}, mirrored{8.1, 0.9, 84 * degrees, 96 * degrees, 4.0, 9.0},
    beneath{3.0, 0.9, 84 * degrees, 96 * degrees, 0.0, 1.0}, clip{9.0, 0.5, 80 * degrees, 86 * degrees, 1.0, 3.0};

struct Part {
    test::ShellSector where;
    double hu;
};

PolarBlock eye(Eye side, const std::vector<Part>& parts) {
    const Globe globe = test::ball_globe(side, {0, 0, 0}, radius);
    return PolarBlock(test::drawn_grid({0, 0, 0}, {84, 84, 84}, {0.55, 0.55, 0.55},
                                       [&](PatientPoint p) {
                                           const double r = std::hypot(p.x, p.y, p.z);
                                           double value = r < radius - 0.8 ? 8.0 : r < radius ? 45.0 : fat;
                                           for (const Part& part : parts)
                                               if (part.where.holds(globe.frame.to_eye(p), radius)) value = part.hu;
                                           return value;
                                       }),
                      globe);
}

bool told(const std::vector<Part>& on_body, const std::vector<Part>& of_fellow = {}, Appearance as = Appearance::ct_mass,
          const std::vector<const FoundElement*>& others = {}, double voltage = kvp) {
    std::vector<Part> parts{{body, body_hu}};
    parts.insert(parts.end(), on_body.begin(), on_body.end());
    return shows_calcified_rim(eye(Eye::right, parts), eye(Eye::left, of_fellow), test::element_of(body, as, body_hu, fat), others, voltage);
}

}  // namespace

TEST(RimCalcification, a_patch_of_calcium_at_the_outer_face_is_seen) { EXPECT_TRUE(told({{patch, calcium_hu}})); }

TEST(RimCalcification, a_body_without_shows_none) { EXPECT_FALSE(told({})); }

// 271 HU at 120 kV and 1.6 times as much at 80 are the most that measured rubbers show (reference rows 1.05, 1.06).
TEST(RimCalcification, what_silicone_may_show_is_no_calcium) {
    EXPECT_FALSE(told({{thick_patch, 271.0}}));
    EXPECT_FALSE(told({{thick_patch, 430.0}}, {}, Appearance::ct_mass, {}, 80.0));
    EXPECT_TRUE(told({{thick_patch, 430.0}})) << "at 120 kV no rubber shows that";
}

TEST(RimCalcification, bone_that_touches_the_body_is_no_calcium) {
    EXPECT_FALSE(told({{through_patch, calcium_hu}})) << "it goes on outwards";
    EXPECT_FALSE(told({{patch, calcium_hu}}, {{mirrored, calcium_hu}})) << "the fellow eye has it too";
}

TEST(RimCalcification, a_speck_and_what_lies_beneath_the_body_are_no_rim) {
    EXPECT_FALSE(told({{small_patch, calcium_hu}}));
    EXPECT_FALSE(told({{beneath, calcium_hu}}));
}

TEST(RimCalcification, is_asked_of_bodies_like_soft_tissue_without_metal_or_another_element_there) {
    EXPECT_FALSE(told({{patch, calcium_hu}}, {}, Appearance::ct_bright));
    EXPECT_FALSE(told({{patch, calcium_hu}, {clip, 9000.0}}));
    const FoundElement another = test::element_of(patch, Appearance::ct_bright, calcium_hu, fat);
    EXPECT_FALSE(told({{patch, calcium_hu}}, {}, Appearance::ct_mass, {&another}));
}

}  // namespace perisclera
