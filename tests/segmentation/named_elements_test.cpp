// SPDX-License-Identifier: Apache-2.0
// A sponge, a tire and a swollen hydrogel of usual size, without a lens, at two slice spacings, against the closed-form volume of their shell sector.
#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

constexpr double radius = 12.2, inner = radius - 1.1;
struct Tissue { double vitreous, wall, orbit; };

PolarBlock eye(const Tissue& t, const test::ShellSector* element, double signal, double slice = 1.0, int slices = 46) {
    Globe globe = test::ball_globe(Eye::left, {0, 0, 0}, radius);
    globe.interior_mean = t.vitreous;
    const EyeFrame frame = globe.frame;
    return PolarBlock(test::drawn_grid({0, 2, 0}, {92, 92, slices}, {0.55, 0.55, slice}, [&](PatientPoint p) {
        const EyePoint e = frame.to_eye(p);
        if (element != nullptr && element->holds(e, radius)) return signal;
        const double r = std::hypot(e.x, e.y, e.z);
        return r < inner ? t.vitreous : r < radius ? t.wall : t.orbit;
    }), globe);
}

/// `width_mm` of arc on the sclera, its middle on the equator.
test::ShellSector sector(double hours, double width_mm, double thick) {
    const double half = 0.5 * width_mm / radius, middle = std::numbers::pi / 2;
    return {1.0, hours, middle - half, middle + half, 0.0, thick};
}

void check(const char* what, const Tissue& t, const test::ShellSector& s, double signal, const FinderSettings& settings, Appearance appearance, double tolerance) {
    for (const double slice : {1.0, 2.0}) {
        const PolarBlock block = eye(t, &s, signal, slice, static_cast<int>(46 / slice)), fellow = eye(t, nullptr, 0, slice, static_cast<int>(46 / slice));
        EXPECT_TRUE(find_elements(fellow, &fellow, settings).empty()) << what << ", none drawn";
        const auto found = find_elements(block, &fellow, settings);
        const double truth = s.volume_mm3(radius);
        EXPECT_EQ(found.size(), 1U) << what << slice;
        if (found.empty()) continue;
        EXPECT_EQ(found.front().appearance, appearance) << what << slice;
        EXPECT_NEAR(volume_mm3(block, found.front()), truth, tolerance * truth) << what << slice;
    }
}

constexpr FinderSettings ct{Modality::ct, false, 120.0, true}, t2{Modality::mr, true, 120.0, true};

}  // namespace

TEST(NamedElements, sponge_4_by_4_over_3_hours) { check("sponge", {8, 45, -90}, sector(3, 4.0, 4.0), -550, ct, Appearance::ct_dark, 0.12); }
TEST(NamedElements, solid_tire_7_by_2p5_over_4_hours) { check("tire", {8, 45, -90}, sector(4, 7.0, 2.5), 210, ct, Appearance::ct_bright, 0.12); }
TEST(NamedElements, hydrogel_8_by_5_over_3_hours) { check("hydrogel", {1000, 100, 300}, sector(3, 8.0, 5.0), 950, t2, Appearance::t2_bright, 0.15); }

TEST(NamedElements, smallest_shown_of_half_an_eye_is_none_and_grows_with_slices) {
    const Globe globe = test::ball_globe(Eye::left, {0, 0, 0}, radius);
    const auto half = test::drawn_grid({0, 0, 15}, {120, 120, 30}, {0.5, 0.5, 1.0}, [](PatientPoint) { return 0.0; });
    const SmallestShown cut = smallest_shown(PolarBlock(half, globe), ct);
    EXPECT_FALSE(cut.band_thickness_mm || cut.sponge_diameter_mm);
    double last_band = 0, last_sponge = 0;
    for (const double slice : {1.0, 2.0, 3.0}) {
        const SmallestShown s = smallest_shown(PolarBlock(test::drawn_grid({0, 0, 0}, {120, 120, static_cast<int>(60 / slice)}, {0.5, 0.5, slice}, [](PatientPoint) { return 0.0; }), globe), ct);
        ASSERT_TRUE(s.band_thickness_mm && s.sponge_diameter_mm) << slice;
        EXPECT_GT(*s.band_thickness_mm, last_band);
        EXPECT_GT(*s.sponge_diameter_mm, last_sponge);
        last_band = *s.band_thickness_mm, last_sponge = *s.sponge_diameter_mm;
    }
}

}  // namespace perisclera
