// SPDX-License-Identifier: Apache-2.0
// Distances of an element from the air before the eye and from bone, in scenes drawn from formulas: a sector of a shell about a ball, in fat, with
// planes of air and of bone. The shortest distance from the sector to a plane follows from its own corners and arcs.
#include "perisclera/measurement/element_surroundings.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>

#include "perisclera/core/text.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

constexpr double radius = 12.2, degrees = std::numbers::pi / 180.0;
constexpr double fat_hu = -90.0, vitreous_hu = 10.0, silicone_hu = 200.0, air_hu = -1000.0, sponge_hu = -600.0, compact_bone_hu = 1200.0;

/// All that lies beyond it along the unit vector is of one signal.
struct Plane {
    PatientVector normal;
    double distance_mm;
    [[nodiscard]] bool holds(PatientPoint p) const { return dot(p - PatientPoint{0, 0, 0}, normal) > distance_mm; }
};

struct Scene {
    test::ShellSector sector;
    std::optional<Plane> air{}, bone{};
    std::optional<Plane> sinus{};  ///< behind the bone, or alone; tissue lies before it
    bool calcium = false;          ///< a small patch at the sector's outer face
    double slices_mm = 1.0, noise = 0.0;
    bool on_mr = false;
    bool sponge = false;     ///< darker than half way to air
    double front_mm = 45.0;  ///< how far the images reach before the globe's centre
};

struct Look {
    Appearance appearance;
    double signal, background;
};

Look element_of(const Scene& s) {
    if (s.on_mr) return {Appearance::t2_bright, 1800.0, 900.0};
    return s.sponge ? Look{Appearance::ct_dark, sponge_hu, fat_hu} : Look{Appearance::ct_bright, silicone_hu, fat_hu};
}

double value_at(const Scene& s, const EyeFrame& frame, PatientPoint p) {
    const double air = s.on_mr ? 0.0 : air_hu, fat = s.on_mr ? 900.0 : fat_hu;
    if (s.air && s.air->holds(p)) return air;
    constexpr double sinus_front_mm = 6.0;
    if (s.sinus && p.y > -sinus_front_mm && s.sinus->holds(p)) return air;
    if (s.bone && s.bone->holds(p)) return compact_bone_hu;
    const EyePoint e = frame.to_eye(p);
    if (s.sector.holds(e, radius)) return element_of(s).signal;
    const double r = std::hypot(e.x, e.y, e.z);
    if (s.calcium && r >= radius + s.sector.outer_mm && r < radius + s.sector.outer_mm + 1.5 && std::hypot(e.x - r, e.y, e.z) < 3.0) return 700.0;
    return r < radius ? (s.on_mr ? 600.0 : vitreous_hu) : fat;
}

ElementSurroundings said_of(const Scene& s) {
    constexpr double pixel = 0.6, half = 26.0, rear = 18.0;
    const EyeFrame frame = test::ball_globe(Eye::left, {0, 0, 0}, radius).frame;
    const int deep = static_cast<int>((s.front_mm + rear) / pixel);
    VoxelGrid grid =
        test::drawn_grid({0, 0.5 * (rear - s.front_mm), 0}, {static_cast<int>(2 * half / pixel), deep, static_cast<int>(2 * half / s.slices_mm)},
                         {pixel, pixel, s.slices_mm}, [&](PatientPoint p) { return value_at(s, frame, p); });
    if (s.noise > 0.0) {
        std::mt19937 chance(3);
        std::normal_distribution<double> normal(0.0, s.noise);
        std::vector<float> noisy = grid.values();
        for (float& v : noisy)
            v = s.on_mr ? std::hypot(v + static_cast<float>(normal(chance)), static_cast<float>(normal(chance)))
                        : v + static_cast<float>(normal(chance));
        grid = VoxelGrid(grid.geometry(), std::move(noisy));
    }
    Globe globe = test::ball_globe(Eye::left, {0, 0, 0}, radius);
    const PolarBlock block(grid, globe);
    const FoundElement found = test::element_of(s.sector, element_of(s).appearance, element_of(s).signal, element_of(s).background);
    return surroundings_of(grid, s.on_mr ? Modality::mr : Modality::ct, block, found, measure_element(block, found), {&found});
}

/// From the sector to the plane, by points of its outer face some 0.1 mm apart. In the eye's frame x is the patient's left, y up, z forwards.
double true_distance(const test::ShellSector& s, const Plane& plane) {
    double farthest = -1e9;
    for (double hour = s.from_hour; hour <= s.from_hour + s.span_hours + 1e-9; hour += s.span_hours / 400.0)
        for (double polar = s.first_polar; polar <= s.last_polar + 1e-9; polar += (s.last_polar - s.first_polar) / 100.0)
            for (const double height : {s.inner_mm, s.outer_mm}) {
                const double r = radius + height, across = r * std::sin(polar), angle = hour * 30.0 * degrees;
                farthest =
                    std::max(farthest, dot(PatientVector{across * std::sin(angle), -r * std::cos(polar), across * std::cos(angle)}, plane.normal));
            }
    return plane.distance_mm - farthest;
}

void expect_told(const Measurement<Mm>& said, double truth, double tolerance) {
    ASSERT_TRUE(said.has_value()) << said.unmeasured()->why;
    const Measured<Mm>& m = *said.measured();
    EXPECT_NEAR(m.value().value(), truth, tolerance);
    EXPECT_LE(m.low().value(), truth);
    EXPECT_GE(m.high().value(), truth);
    EXPECT_GE(m.low().value(), 0.0);
}

std::string why_of(const Measurement<Mm>& said) { return said.has_value() ? "a value" : said.unmeasured()->why; }

/// Temporal, about 3 o'clock of the left eye.
const test::ShellSector tire{2.0, 2.0, 70.0 * degrees, 100.0 * degrees, 0.0, 2.0};
/// Before the face, straight or turned.
Plane air_before(double distance_mm, PatientVector normal = {0.0, -1.0, 0.0}) { return {unit(normal), distance_mm}; }
Plane beside(double distance_mm) { return {{1.0, 0.0, 0.0}, distance_mm}; }

/// Half the largest voxel, and a cell of the polar grid.
double tolerance(const Scene& s) { return 0.5 * std::max(0.6, s.slices_mm) + 0.25; }

}  // namespace

TEST(ElementSurroundings, is_as_far_from_a_plane_of_air_as_its_corners_are) {
    for (const double plane : {6.0, 9.0, 13.0})
        for (const double slices : {0.6, 2.0}) {
            const Scene s{.sector = tire, .air = air_before(plane), .slices_mm = slices};
            SCOPED_TRACE(testing::Message() << plane << " mm, slices " << slices);
            expect_told(said_of(s).surface, true_distance(tire, *s.air), tolerance(s));
        }
}

TEST(ElementSurroundings, is_as_far_from_a_plane_of_air_that_is_turned) {
    for (const PatientVector normal : {PatientVector{0.6, -1.0, 0.0}, {0.3, -1.0, 0.5}}) {
        const Scene s{.sector = tire, .air = air_before(15.5, normal)};
        expect_told(said_of(s).surface, true_distance(tire, *s.air), tolerance(s));
    }
}

TEST(ElementSurroundings, an_element_at_the_surface_has_an_interval_that_begins_at_nothing) {
    const Scene s{.sector = tire, .air = air_before(13.1, {1.0, -1.0, 0.0})};
    const double truth = true_distance(tire, *s.air);
    ASSERT_LT(truth, 0.6);
    const auto said = said_of(s).surface;
    ASSERT_TRUE(said.has_value());
    EXPECT_EQ(said.measured()->low().value(), 0.0);
    EXPECT_GE(said.measured()->high().value(), truth);
}

TEST(ElementSurroundings, the_gas_of_a_sponge_is_not_the_air_before_the_eye) {
    const Scene s{.sector = tire, .air = air_before(6.2), .sponge = true};
    const double truth = true_distance(tire, *s.air);
    ASSERT_NEAR(truth, 1.3, 0.1);
    expect_told(said_of(s).surface, truth, tolerance(s));
    const Scene beside_bone{.sector = tire, .air = air_before(16.0), .bone = beside(17.0), .sponge = true};
    expect_told(said_of(beside_bone).orbital_wall, true_distance(tire, *beside_bone.bone), tolerance(s));
}

TEST(ElementSurroundings, on_mr_the_surface_lies_half_way_from_background_to_tissue) {
    const Scene s{.sector = tire, .air = air_before(9.0), .slices_mm = 2.0, .noise = 30.0, .on_mr = true};
    expect_told(said_of(s).surface, true_distance(tire, *s.air), tolerance(s));
}

TEST(ElementSurroundings, tells_no_surface_where_the_background_is_as_noisy_as_tissue) {
    const Scene s{.sector = tire, .air = air_before(9.0), .noise = 400.0, .on_mr = true};
    EXPECT_EQ(why_of(said_of(s).surface), say("reason.background_not_separable"));
}

TEST(ElementSurroundings, tells_no_surface_where_the_images_end_before_the_face) {
    for (const bool on_mr : {false, true})
        EXPECT_EQ(why_of(said_of({.sector = tire, .air = air_before(22.0), .on_mr = on_mr, .front_mm = 18.0}).surface),
                  say("reason.surface_not_imaged"));
}

TEST(ElementSurroundings, air_behind_tissue_is_no_surface) {
    const Scene s{.sector = tire, .air = air_before(14.0), .sinus = beside(17.0)};
    ASSERT_LT(true_distance(tire, *s.sinus), true_distance(tire, *s.air) - 3.0);
    expect_told(said_of(s).surface, true_distance(tire, *s.air), tolerance(s));
}

TEST(ElementSurroundings, is_as_far_from_a_plane_of_bone_as_its_face_is) {
    for (const double gap : {0.5, 2.0, 5.0})
        for (const double slices : {0.6, 2.0}) {
            const Scene s{.sector = tire, .air = air_before(16.0), .bone = beside(radius + 2.0 + gap), .slices_mm = slices};
            SCOPED_TRACE(testing::Message() << gap << " mm, slices " << slices);
            expect_told(said_of(s).orbital_wall, true_distance(tire, *s.bone), tolerance(s));
        }
}

TEST(ElementSurroundings, a_wall_as_thin_as_paper_before_a_sinus_is_a_wall) {
    const Scene s{.sector = tire, .air = air_before(16.0), .bone = beside(17.0), .sinus = beside(17.4)};
    expect_told(said_of(s).orbital_wall, true_distance(tire, *s.bone), 0.8);
}

TEST(ElementSurroundings, calcium_at_its_face_is_no_wall) {
    const Scene s{.sector = tire, .air = air_before(16.0), .bone = beside(19.2), .calcium = true};
    expect_told(said_of(s).orbital_wall, true_distance(tire, *s.bone), tolerance(s));
}

TEST(ElementSurroundings, bone_is_not_told_on_mr_nor_where_none_is_imaged) {
    EXPECT_EQ(why_of(said_of({.sector = tire, .air = air_before(9.0), .on_mr = true}).orbital_wall), say("reason.no_bone_on_mr"));
    EXPECT_EQ(why_of(said_of({.sector = tire, .air = air_before(9.0)}).orbital_wall), say("reason.wall_not_imaged"));
}

TEST(ElementSurroundings, without_a_size_neither_is_told) {
    const VoxelGrid grid = test::drawn_grid({0, 0, 0}, {90, 90, 60}, {0.6, 0.6, 1.0}, [](PatientPoint) { return fat_hu; });
    const PolarBlock block(grid, test::ball_globe(Eye::left, {0, 0, 0}, radius));
    const FoundElement found = test::element_of(tire, Appearance::ct_bright, silicone_hu, fat_hu);
    const ElementSurroundings said =
        surroundings_of(grid, Modality::ct, block, found, without_sizes(measure_element(block, found), "a reason"), {&found});
    EXPECT_EQ(why_of(said.surface), "a reason");
    EXPECT_EQ(why_of(said.orbital_wall), "a reason");
}

}  // namespace perisclera
