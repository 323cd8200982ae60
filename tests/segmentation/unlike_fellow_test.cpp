// SPDX-License-Identifier: Apache-2.0
// Bodies drawn into soft tissue that lies against the globe, where no fat is there to be held off: told by their own contrast to the fellow
// eye, whichever way it goes. The contrasts are facts of the trade (common practice, no source).
#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include "perisclera/segmentation/unlike_fellow.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

constexpr double radius = 12.2, degrees = std::numbers::pi / 180.0;

struct Tissue {
    double vitreous, wall, fat, soft;
};
constexpr Tissue on_ct{8, 45, -95, 45}, on_t2{930, 60, 600, 200};

constexpr test::ShellSector body{7.6, 2.5, 74 * degrees, 106 * degrees, 0.0, 5.0};
constexpr test::ShellSector soft_tissue{0.0, 12.0, 0.0, 115 * degrees, 0.0, 8.0};

PolarBlock eye(Eye which, const Tissue& tissue, const test::ShellSector* drawn = nullptr, double signal = 0.0) {
    Globe globe = test::ball_globe(which, {0, 0, 0}, radius);
    globe.interior_mean = tissue.vitreous;
    const EyeFrame frame = globe.frame;
    return PolarBlock(test::drawn_grid({0, 2, 0}, {100, 100, 36}, {0.55, 0.55, 1.5}, [&](PatientPoint p) {
        const EyePoint e = frame.to_eye(p);
        if (drawn != nullptr && drawn->holds(e, radius)) return signal;
        const double r = std::hypot(e.x, e.y, e.z);
        if (r < radius - 1.1) return tissue.vitreous;
        if (r < radius) return tissue.wall;
        return soft_tissue.holds(e, radius) ? tissue.soft : tissue.fat;
    }), globe);
}

struct Shown {
    EyeView ct, t2;
    [[nodiscard]] std::vector<const EyeView*> views() const { return {&ct, &t2}; }
};

Shown shown(Eye which, const test::ShellSector* drawn = nullptr, double hounsfield = 0.0, double t2_signal = 0.0) {
    return {EyeView{0, Modality::ct, SeriesRole::ct_soft, 120.0, eye(which, on_ct, drawn, hounsfield)},
            EyeView{1, Modality::mr, SeriesRole::t2, 120.0, eye(which, on_t2, drawn, t2_signal)}};
}

bool unlike(const Shown& own, const Shown& fellow, const std::vector<const FoundElement*>& known = {}) { return shows_tissue_unlike_fellow(own.views(), fellow.views(), known); }

}  // namespace

TEST(UnlikeFellow, two_eyes_alike_say_nothing) { EXPECT_FALSE(unlike(shown(Eye::left), shown(Eye::right))); }

TEST(UnlikeFellow, a_body_darker_than_muscle_on_t2_is_told) { EXPECT_TRUE(unlike(shown(Eye::left, &body, 80.0, 60.0), shown(Eye::right))); }

TEST(UnlikeFellow, a_body_brighter_than_fat_on_t2_is_told) { EXPECT_TRUE(unlike(shown(Eye::left, &body, 25.0, 850.0), shown(Eye::right))); }

// As bright as fat on T2, which neither sign above tells; on CT it is no fat.
TEST(UnlikeFellow, a_body_like_fat_on_t2_and_like_muscle_on_ct_is_told) {
    EXPECT_TRUE(unlike(shown(Eye::left, &body, 45.0, 480.0), shown(Eye::right)));
    EXPECT_FALSE(unlike(shown(Eye::left, &body, -95.0, 480.0), shown(Eye::right))) << "fat on CT too is fat";
}

TEST(UnlikeFellow, a_body_like_muscle_on_both_cannot_be_told) { EXPECT_FALSE(unlike(shown(Eye::left, &body, 45.0, 200.0), shown(Eye::right))); }

// Beside a bright mass everything in the free fellow eye is dark.
TEST(UnlikeFellow, the_free_eye_is_not_held_against_an_element_of_the_other) {
    const Shown operated = shown(Eye::left, &body, 25.0, 850.0), free = shown(Eye::right);
    const FoundElement element = test::element_of(body, Appearance::t2_bright, 850.0, 200.0);
    EXPECT_TRUE(unlike(free, operated));
    EXPECT_FALSE(unlike(free, operated, {&element}));
}

// A skin of another signal, as a misplaced surface leaves it, is no body.
TEST(UnlikeFellow, a_thin_skin_says_nothing) {
    constexpr test::ShellSector skin{8.2, 0.6, 84 * degrees, 96 * degrees, 0.0, 1.0};
    EXPECT_FALSE(unlike(shown(Eye::left, &skin, 25.0, 850.0), shown(Eye::right)));
    EXPECT_FALSE(unlike(shown(Eye::left, &skin, 80.0, 60.0), shown(Eye::right)));
}

}  // namespace perisclera
