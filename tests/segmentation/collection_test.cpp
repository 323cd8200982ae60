// SPDX-License-Identifier: Apache-2.0
// A sponge in a drawn orbit with fluid about it, on MR. Signals: of the vitreous' pus has 0.5, gland 0.3, fat 0.63, muscle 0.09 on T2, which follows from the spin echo's equation with the relaxation times in phantoms/mr_tissue.cpp (common tables and assumed); T1 likewise.
#include <gtest/gtest.h>

#include <cmath>
#include <optional>

#include "perisclera/segmentation/inflammation.h"
#include "tests/support/drawn_orbit.h"

namespace perisclera {

namespace {

constexpr double radius = 12.2, degrees = std::numbers::pi / 180.0;
constexpr test::ShellSector sponge{1.0, 2.0, 76 * degrees, 100 * degrees, 0.0, 4.0};
constexpr test::ShellSector about{0.6, 2.8, 72 * degrees, 105 * degrees, 0.5, 7.0}, mirrored_about{8.6, 2.8, 72 * degrees, 105 * degrees, 0.5, 7.0};
constexpr test::ShellSector apart{4.5, 1.2, 76 * degrees, 100 * degrees, 0.5, 6.0};
constexpr test::OrbitSignals on_t2{950, 150, 600, 85}, on_t1{200, 250, 900, 350};
constexpr double pus_t2 = 480, gland_t2 = 285, pus_t1 = 330;

/// What a series shows of the body about the sponge.
struct Shown {
    SeriesRole role;
    test::OrbitSignals orbit;
    double body;
};

struct Scene {
    std::optional<test::ShellSector> own{}, fellow{};
    double slice_mm = 1.5;
    Appearance element = Appearance::mr_void;
};

EyeView view(Eye eye, const Shown& shown, const std::optional<test::ShellSector>& body, double slice_mm) {
    Globe globe = test::ball_globe(eye, {0, 0, 0}, radius);
    globe.interior_mean = shown.orbit.vitreous;
    const EyeFrame frame = globe.frame;
    const test::MuscleStrips muscles{9.0, 3.0};
    const auto value = [&](PatientPoint p) {
        const EyePoint e = frame.to_eye(p);
        const double r = std::hypot(e.x, e.y, e.z);
        if (eye == Eye::left && sponge.holds(e, radius)) return 0.0;
        if (r < radius - 1.1) return shown.orbit.vitreous;
        if (body && body->holds(e, radius)) return shown.body;
        if (r < radius) return shown.orbit.wall;
        return muscles.hold(e, radius) ? shown.orbit.muscle : shown.orbit.fat;
    };
    return {0, Modality::mr, shown.role, 120.0, PolarBlock(test::drawn_grid({0, 2, 0}, {54, 54, static_cast<int>(46.0 / slice_mm)}, {0.85, 0.85, slice_mm}, value), globe)};
}

InflammationReading read(const Scene& scene, const std::vector<Shown>& series) {
    std::vector<EyeView> own, fellow;
    for (const Shown& s : series) {
        own.push_back(view(Eye::left, s, scene.own, scene.slice_mm));
        fellow.push_back(view(Eye::right, s, scene.fellow, scene.slice_mm));
    }
    std::vector<const EyeView*> here, there;
    for (std::size_t i = 0; i < own.size(); ++i) here.push_back(&own[i]), there.push_back(&fellow[i]);
    const EyeElement element{0, test::element_of(sponge, scene.element, 0.0, 600.0), {}};
    return signs_of_inflammation(here, there, {&element}, {});
}

SignReading collection_of(const Scene& scene, double on_t2_shown = pus_t2, double on_t1_shown = pus_t1) {
    return read(scene, {{SeriesRole::t2, on_t2, on_t2_shown}, {SeriesRole::t1, on_t1, on_t1_shown}}).collection;
}

}  // namespace

TEST(Collection, fluid_about_a_sponge_is_seen) {
    EXPECT_EQ(collection_of({about}), SignReading::seen);
    EXPECT_EQ(collection_of({}), SignReading::not_assessable) << "a small one might not show";
}

TEST(Collection, what_is_fat_on_t1_or_no_brighter_than_gland_is_none) {
    EXPECT_NE(collection_of({about}, 620, 900), SignReading::seen) << "fat brighter than usual on T2, beneath a coil";
    EXPECT_NE(collection_of({about}, gland_t2), SignReading::seen);
}

TEST(Collection, what_the_fellow_has_or_lies_apart_is_none) {
    EXPECT_NE(collection_of({about, mirrored_about}), SignReading::seen);
    EXPECT_NE(collection_of({apart}), SignReading::seen) << "not beside the element";
}

// What is told by its water may be hydrogel, and its edge no other fluid.
TEST(Collection, beside_what_holds_water_itself_it_is_not_told) {
    for (const Appearance watery : {Appearance::t2_bright, Appearance::mr_mass}) {
        Scene scene{about};
        scene.element = watery;
        EXPECT_EQ(collection_of(scene), SignReading::not_assessable);
    }
}

TEST(Collection, thick_slices_or_one_series_leave_it_open) {
    EXPECT_EQ(collection_of({about, {}, 4.0}), SignReading::not_assessable);
    EXPECT_EQ(read({about}, {{SeriesRole::t2, on_t2, pus_t2}}).collection, SignReading::not_assessable);
    EXPECT_EQ(read({about}, {{SeriesRole::t2, on_t2, pus_t2}, {SeriesRole::t1_contrast, on_t1, pus_t1}}).collection, SignReading::not_assessable);
}

}  // namespace perisclera
