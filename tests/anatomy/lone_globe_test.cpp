// SPDX-License-Identifier: Apache-2.0
// One eye in drawn heads: found where it is, its side told by what lies round it or not at all, and nothing found where no eye is.
// Sizes: globes 62 mm apart in a head 150 mm wide, usual anatomy; the drawing knows nothing of how the side is told.
#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include "perisclera/anatomy/lone_globe.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

constexpr PatientPoint right_eye{-31, -60, 8}, left_eye{31, -60, 8};

/// A head whose front lies 11 mm before the globes' centres, soft tissue, orbits of fat; air beyond it and, if asked, in the nose.
double head(PatientPoint p, std::initializer_list<PatientPoint> eyes, bool nose, double outer_radius) {
    const double across = p.x / 75.0, along = (p.y - 20.0) / 94.0;
    const bool lid = [&] {
        for (const PatientPoint& eye : eyes)
            if (length(p - eye) < 15.0) return true;
        return false;
    }();
    if (across * across + along * along > 1.0 && !lid) return -1000.0;
    for (const PatientPoint& eye : eyes) {
        const double r = length(p - eye);
        if (r < outer_radius - 1.1) return 8.0;
        if (r < outer_radius) return 45.0;
    }
    if (nose && std::abs(p.x) < 12.0 && std::abs(p.x) > 2.0 && p.y < -20.0 && p.y > -62.0) return -800.0;
    for (const PatientPoint& eye : {right_eye, left_eye})
        if (p.y < -58.0 + 40.0 && std::hypot(p.x - eye.x, p.z - eye.z) < 16.0 && p.y > eye.y) return -95.0;
    return 45.0;
}

struct Window {
    const char* what;
    double from, to;  ///< LPS x, mm
};

VoxelGrid image(const Window& window, std::initializer_list<PatientPoint> eyes, bool nose = true, double yaw_degrees = 0.0, double outer_radius = 12.3) {
    const int columns = static_cast<int>((window.to - window.from) / 0.8);
    const double turn = yaw_degrees * std::numbers::pi / 180.0, neck = 20.0;
    return test::drawn_grid({0.5 * (window.from + window.to), -45, 8}, {columns, 90, 24}, {0.8, 0.8, 2.0}, [&](PatientPoint p) {
        return head({std::cos(turn) * p.x + std::sin(turn) * (p.y - neck), neck - std::sin(turn) * p.x + std::cos(turn) * (p.y - neck), p.z}, eyes, nose, outer_radius);
    });
}

std::optional<LoneGlobe> lone(const VoxelGrid& grid) { return find_lone_globe(grid, Modality::ct, globe_candidates(grid, Modality::ct)); }

}  // namespace

TEST(LoneGlobe, the_side_is_told_by_the_head_round_it_wherever_the_scanner_has_its_middle) {
    for (const Window& window : {Window{"the whole head", -90, 90}, {"half the head", -90, 0}, {"both orbits", -60, 60}, {"one orbit", -58, 0}}) {
        const VoxelGrid grid = image(window, {right_eye});
        const auto found = lone(grid);
        ASSERT_TRUE(found) << window.what;
        EXPECT_LT(length(found->globe.centre - right_eye), 0.5) << window.what;
        ASSERT_TRUE(found->side) << window.what;
        EXPECT_EQ(*found->side, Eye::right) << window.what;
        EXPECT_EQ(fellow_place_is_imaged(grid, Eye::right, found->globe), window.to > 45.0) << window.what;
    }
    for (const Window& window : {Window{"the whole head", -90, 90}, {"half the head", 0, 90}, {"both orbits", -60, 60}, {"one orbit", 0, 58}}) {
        const auto found = lone(image(window, {left_eye}));
        ASSERT_TRUE(found && found->side) << window.what;
        EXPECT_EQ(*found->side, Eye::left) << window.what;
    }
}

TEST(LoneGlobe, the_side_is_left_open_where_neither_outline_nor_nose_is_shown) {
    const auto found = lone(image({"one orbit", -56, -5}, {right_eye}, false));
    ASSERT_TRUE(found);
    EXPECT_FALSE(found->side);
}

// Beside the eye that leads, the face of a turned head ends as near as a temple.
TEST(LoneGlobe, the_side_is_never_told_wrong_in_turned_heads) {
    for (const double yaw : {20.0, 30.0}) {
        const auto found = lone(image({"from the nose on", -20, 80}, {right_eye}, true, yaw));
        ASSERT_TRUE(found) << yaw;
        EXPECT_NE(found->side, Eye::left) << yaw;
    }
}

// Shrunken eyes measure less than 18 mm (common practice, no source).
TEST(LoneGlobe, a_shrunken_eye_is_found_where_it_is_plain) {
    const auto found = lone(image({"half the head", -90, 0}, {right_eye}, true, 0.0, 8.6));
    ASSERT_TRUE(found);
    EXPECT_LT(length(found->globe.centre - right_eye), 0.5);
    EXPECT_EQ(found->side, Eye::right);
}

TEST(LoneGlobe, two_globes_are_not_one) { EXPECT_FALSE(lone(image({"both orbits", -60, 60}, {right_eye, left_eye}))); }

TEST(LoneGlobe, a_head_without_eyes_has_none) {
    for (const bool nose : {true, false}) EXPECT_FALSE(lone(image({"the whole head", -90, 90}, {}, nose)));
}

// As round and as even as an eye, but deep in the head.
TEST(LoneGlobe, a_ball_without_air_before_it_is_no_eye) { EXPECT_FALSE(lone(image({"the whole head", -90, 90}, {PatientPoint{-31, -35, 8}}))); }

}  // namespace perisclera
