// SPDX-License-Identifier: Apache-2.0
// A body drawn beside muscle in an orbit of fat, whose signals on CT, T1 and T2 are each within what normal tissue shows: told by all of them together, with place and
// closed-form volume. Water-rich hydrogel on CT: 10 + 164 HU times the polymer's share (calculated, see material_table.h); the tissues' contrasts are facts of the
// trade (common practice, no source).
#include <cmath>
#include <functional>
#include <numbers>
#include <optional>

#include <gtest/gtest.h>

#include "perisclera/segmentation/jointly_seen.h"
#include "tests/support/drawn_orbit.h"

namespace perisclera {

namespace {

constexpr double radius = 12.2, degrees = std::numbers::pi / 180.0;

constexpr test::OrbitSignals on_ct{8, 45, -95, 48}, on_t1{210, 120, 1300, 330}, on_t2{930, 60, 700, 130};

/// What a body shows on CT, T1 and T2.
struct Body {
    double ct, t1, t2;
};
constexpr Body hydrogel{54, 520, 330};   // three quarters water
constexpr Body muscle{on_ct.muscle, on_t1.muscle, on_t2.muscle};
constexpr Body mixture{0.7 * 48 - 0.3 * 95, 0.7 * 330 + 0.3 * 1300, 0.7 * 130 + 0.3 * 700};   // three parts of fat in ten, on each series alike

constexpr Body silicone{190, 15, 20};
constexpr Body watery{26, 380, 860};   // nine tenths water: on T2 nearly vitreous, on T1 nearly muscle
constexpr Body bright_on_t1{-20, 1250, 250};   // what fat lying elsewhere on T2, or a coil near on T1, may show

constexpr test::ShellSector place{0.4, 3.2, 72 * degrees, 112 * degrees, 0.0, 5.0};

/// The uppermost muscle reaches over the drawn body's edge.
PolarBlock eye(Eye which, const test::OrbitSignals& tissue, const double* signal, const test::ShellSector& where) {
    constexpr test::MuscleStrips muscles{10.0, 4.0};
    return signal != nullptr ? test::drawn_orbit(which, radius, tissue, muscles, &where, *signal) : test::drawn_orbit(which, radius, tissue, muscles);
}

struct Shown {
    EyeView ct, t1, t2;
    explicit Shown(Eye which, const Body* body = nullptr, const test::ShellSector& where = place)
        : ct{0, Modality::ct, SeriesRole::ct_soft, 120.0, eye(which, on_ct, body ? &body->ct : nullptr, where)},
          t1{1, Modality::mr, SeriesRole::t1, 120.0, eye(which, on_t1, body ? &body->t1 : nullptr, where)},
          t2{2, Modality::mr, SeriesRole::t2, 120.0, eye(which, on_t2, body ? &body->t2 : nullptr, where)} {}
    [[nodiscard]] std::vector<const EyeView*> all() const { return {&ct, &t1, &t2}; }
};

const Shown& free_eye() {
    static const Shown shown(Eye::right);
    return shown;
}
const Shown& with_hydrogel() {
    static const Shown shown(Eye::left, &hydrogel);
    return shown;
}

/// A ball in fat with what `body` shows at a place and its height, where it says anything.
PolarBlock in_fat(const test::OrbitSignals& tissue, const Globe& globe, double slice_mm, const std::function<std::optional<double>(EyePoint, double)>& body) {
    return PolarBlock(test::drawn_grid({0, 2, 0}, {100, 100, static_cast<int>(54.0 / slice_mm)}, {0.55, 0.55, slice_mm}, [&](PatientPoint p) {
        const EyePoint e = globe.frame.to_eye(p);
        const double height = std::hypot(e.x, e.y, e.z) - radius;
        return body(e, height).value_or(height < -1.1 ? tissue.vitreous : height < 0.0 ? tissue.wall : tissue.fat);
    }), globe);
}
constexpr double thin_slice_mm = 1.5;

/// A thick body of fluid that fat parts from the wall, but for a stalk.
Shown on_a_stalk() {
    constexpr double free_mm = 2.6;
    constexpr test::ShellSector body{0.4, 3.2, 72 * degrees, 112 * degrees, free_mm, 8.9}, stalk{1.4, 1.2, 82 * degrees, 102 * degrees, 0.0, free_mm};
    Shown own(Eye::left);
    const auto drawn = [&](const test::OrbitSignals& tissue, double fluid, const Globe& globe) {
        return in_fat(tissue, globe, thin_slice_mm, [&](EyePoint e, double) { return body.holds(e, radius) || stalk.holds(e, radius) ? std::optional(fluid) : std::nullopt; });
    };
    own.t1.block = drawn(on_t1, watery.t1, own.t1.block.globe());
    own.t2.block = drawn(on_t2, watery.t2, own.t2.block.globe());
    return own;
}

}  // namespace

TEST(JointlySeen, a_hydrogel_that_no_series_tells_is_seen_with_place_and_size) {
    const Shown& own = with_hydrogel();
    for (const auto& [view, settings] : {std::pair{&own.ct, FinderSettings{Modality::ct}}, std::pair{&own.t2, FinderSettings{Modality::mr, true}}})
        for (const FoundElement& e : find_elements(view->block, &(view == &own.ct ? free_eye().ct : free_eye().t2).block, settings)) EXPECT_TRUE(is_mass(e.appearance)) << "no sign of its own";
    const auto seen = hydrogels_seen_jointly(own.all(), free_eye().all()).elements;
    ASSERT_EQ(seen.size(), 1U);
    const FoundElement& found = seen[0].found;
    EXPECT_TRUE(found.own_signs);
    EXPECT_EQ(seen[0].view, 0U) << "measured where it is sharpest";
    EXPECT_EQ(seen[0].also_seen_in, (std::vector<std::size_t>{1, 2}));
    EXPECT_NEAR(test::middle_hour(found), 2.0, 0.3);
    // One of its four edges lies on muscle, which CT does not tell from it.
    EXPECT_NEAR(volume_mm3(own.ct.block, found), place.volume_mm3(radius), 0.2 * place.volume_mm3(radius));
    EXPECT_NEAR(found.core_signal, hydrogel.ct, 5.0);
}

TEST(JointlySeen, tissue_and_its_mixtures_are_not_hydrogel) {
    EXPECT_TRUE(hydrogels_seen_jointly(free_eye().all(), Shown(Eye::left).all()).elements.empty()) << "nothing drawn";
    EXPECT_TRUE(hydrogels_seen_jointly(Shown(Eye::left, &muscle).all(), free_eye().all()).elements.empty()) << "one muscle more";
    EXPECT_TRUE(hydrogels_seen_jointly(Shown(Eye::left, &mixture).all(), free_eye().all()).elements.empty()) << "muscle and fat in one voxel";
}

// Lacrimal glands of two eyes differ in size and place; above and to the temple is where they lie.
TEST(JointlySeen, a_gland_where_the_fellow_eye_has_a_smaller_one_is_normal) {
    constexpr test::ShellSector gland{0.8, 2.2, 55 * degrees, 85 * degrees, 0.5, 5.0}, smaller{9.0, 1.0, 50 * degrees, 65 * degrees, 1.5, 6.0};
    const Shown own(Eye::left, &hydrogel, gland);
    EXPECT_TRUE(hydrogels_seen_jointly(own.all(), Shown(Eye::right, &hydrogel, smaller).all()).elements.empty());
    EXPECT_FALSE(hydrogels_seen_jointly(own.all(), free_eye().all()).elements.empty()) << "a fellow eye without any";
}

TEST(JointlySeen, silicone_shows_by_darkness_on_t1_and_t2) {
    const Shown own(Eye::left, &silicone);
    const auto seen = voids_seen_jointly(own.all(), free_eye().all());
    ASSERT_EQ(seen.size(), 1U);
    EXPECT_EQ(seen[0].found.appearance, Appearance::mr_void);
    EXPECT_EQ(seen[0].view, 1U) << "of two series as fine T1";
    EXPECT_EQ(seen[0].also_seen_in, (std::vector<std::size_t>{2})) << "CT was not asked";
    EXPECT_NEAR(test::middle_hour(seen[0].found), 2.0, 0.3);
    EXPECT_TRUE(voids_seen_jointly({&own.ct, &own.t1}, {&free_eye().ct, &free_eye().t1}).empty()) << "one series of MR";
}

TEST(JointlySeen, wall_and_muscle_are_no_voids) {
    EXPECT_TRUE(voids_seen_jointly(free_eye().all(), Shown(Eye::left).all()).empty()) << "nothing drawn";
    EXPECT_TRUE(voids_seen_jointly(Shown(Eye::left, &muscle).all(), free_eye().all()).empty()) << "one muscle more";
    EXPECT_TRUE(voids_seen_jointly(with_hydrogel().all(), free_eye().all()).empty()) << "hydrogel";
}

// On T2 the vitreous is many times as bright as what lies on the wall, and thick slices carry it up to 2 mm beyond (common practice, no source): there T2 tells nothing.
TEST(JointlySeen, a_body_whose_foot_the_vitreous_outshines_lies_on_the_wall_all_the_same) {
    const auto shown = [](double ct_beneath) {
        Shown own(Eye::left, &hydrogel);
        constexpr double outshone_mm = 2.4;
        const Globe globe = own.t2.block.globe();
        const auto drawn = [&](const test::OrbitSignals& tissue, double body, const std::function<double(double)>& beneath) {
            return in_fat(tissue, globe, thin_slice_mm, [&](EyePoint e, double height) {
                return place.holds(e, radius) ? std::optional(height < outshone_mm ? beneath(height) : body) : std::nullopt;
            });
        };
        own.t2.block = drawn(on_t2, hydrogel.t2, [](double height) { return std::lerp(on_t2.vitreous, hydrogel.t2, height / outshone_mm); });
        own.ct.block = drawn(on_ct, hydrogel.ct, [&](double) { return ct_beneath; });
        return own;
    };
    const auto seen = hydrogels_seen_jointly(shown(hydrogel.ct).all(), free_eye().all()).elements;
    ASSERT_EQ(seen.size(), 1U);
    EXPECT_NEAR(test::middle_hour(seen[0].found), 2.0, 0.3);
    EXPECT_TRUE(hydrogels_seen_jointly(shown(on_ct.fat).all(), free_eye().all()).elements.empty()) << "fat beneath it";
}

// Two thirds water: on T1 nearly muscle, on T2 between muscle and fat.
TEST(JointlySeen, too_little_to_believe_is_told_as_unexplained) {
    constexpr Body nearly_muscle{54, 420, 250};
    const SeenJointly seen = hydrogels_seen_jointly(Shown(Eye::left, &nearly_muscle).all(), free_eye().all());
    EXPECT_TRUE(seen.elements.empty());
    EXPECT_GT(seen.unexplained, 0.0);
    EXPECT_EQ(hydrogels_seen_jointly(free_eye().all(), Shown(Eye::left).all()).unexplained, 0.0) << "nothing drawn";
    EXPECT_EQ(hydrogels_seen_jointly(Shown(Eye::left, &muscle).all(), free_eye().all()).unexplained, 0.0) << "one muscle more";
}

// Half of a thin element lies in the dent that it makes (common practice, no source).
TEST(JointlySeen, silicone_that_stands_out_by_less_than_2_mm_is_seen) {
    constexpr test::ShellSector thin{0.4, 3.2, 72 * degrees, 112 * degrees, 0.0, 1.8};
    const auto seen = voids_seen_jointly(Shown(Eye::left, &silicone, thin).all(), free_eye().all());
    ASSERT_EQ(seen.size(), 1U);
    EXPECT_NEAR(test::middle_hour(seen[0].found), 2.0, 0.3);
    EXPECT_GT(volume_mm3(free_eye().t1.block, seen[0].found), 0.0);
}

// Fat and muscle keep their order from T1 to T2, and so does all that they mix to; fluid does not (facts of the trade, common practice, no source).
TEST(JointlySeen, a_watery_hydrogel_needs_no_ct) {
    const auto on_mr = [](const Shown& eye) { return std::vector<const EyeView*>{&eye.t1, &eye.t2}; };
    const auto seen_in = [&](const Body& body, const test::ShellSector& where = place) { return hydrogels_seen_jointly(on_mr(Shown(Eye::left, &body, where)), on_mr(free_eye())).elements; };
    const auto seen = seen_in(watery);
    ASSERT_EQ(seen.size(), 1U);
    EXPECT_EQ(seen[0].found.appearance, Appearance::t2_bright);
    EXPECT_EQ(seen[0].view, 1U) << "measured on T2";
    EXPECT_NEAR(test::middle_hour(seen[0].found), 2.0, 0.3);
    EXPECT_TRUE(hydrogels_seen_jointly(on_mr(free_eye()), on_mr(Shown(Eye::left))).elements.empty()) << "nothing drawn";
    EXPECT_TRUE(seen_in(muscle).empty()) << "one muscle more";
    EXPECT_TRUE(seen_in(mixture).empty()) << "muscle and fat in one voxel";
    EXPECT_TRUE(seen_in(bright_on_t1).empty()) << "unlike normal tissue, but not watery";
    constexpr test::ShellSector far_out{0.4, 3.2, 72 * degrees, 112 * degrees, 0.0, 12.0};
    EXPECT_TRUE(seen_in(watery, far_out).empty()) << "no element is as thick";
    constexpr test::ShellSector thick{0.4, 3.2, 72 * degrees, 112 * degrees, 0.0, 8.9}, above_fat{0.4, 3.2, 72 * degrees, 112 * degrees, 2.2, 8.9};
    EXPECT_EQ(seen_in(watery, thick).size(), 1U) << "one of many years";
    EXPECT_TRUE(seen_in(watery, above_fat).empty()) << "as a lid or gland lies";
    EXPECT_TRUE(hydrogels_seen_jointly(on_mr(on_a_stalk()), on_mr(free_eye())).elements.empty()) << "nor one that touches the eye here and there";
    const Shown own(Eye::left, &watery);
    EXPECT_TRUE(hydrogels_seen_jointly({&own.t2, &own.t2}, {&free_eye().t2, &free_eye().t2}).elements.empty()) << "no T1";
    const FoundElement by_itself = test::element_of(place, Appearance::t2_bright, 860, 700);
    EXPECT_EQ(fuse_elements(on_mr(own), {{}, {by_itself}}, seen).elements.size(), 1U) << "T2 shows the same by itself";
}

// Fat may be as bright as vitreous on T2.
TEST(JointlySeen, what_is_bright_on_t2_and_fat_on_t1_is_fat) {
    const FoundElement bright = test::element_of(place, Appearance::t2_bright, 900, 130);
    const Shown own(Eye::left, &hydrogel);
    EXPECT_EQ(fuse_elements({&own.t1, &own.t2}, {{}, {bright}}).elements.size(), 1U);
    constexpr Body fat{-95, 1300, 900};
    const Shown none(Eye::left, &fat);
    EXPECT_TRUE(fuse_elements({&none.t1, &none.t2}, {{}, {bright}}).elements.empty());
    EXPECT_TRUE(fuse_elements({&none.ct, &none.t2}, {{}, {bright}}).elements.empty()) << "CT tells it too";
}

TEST(JointlySeen, a_series_that_lies_apart_is_not_asked) {
    Shown own = with_hydrogel();
    own.t1.kept_apart = own.t2.kept_apart = true;
    EXPECT_TRUE(hydrogels_seen_jointly(own.all(), free_eye().all()).elements.empty());
}

TEST(JointlySeen, one_series_or_no_fellow_say_nothing) {
    const Shown& own = with_hydrogel();
    EXPECT_TRUE(hydrogels_seen_jointly({&own.ct, &own.ct}, {&free_eye().ct, &free_eye().ct}).elements.empty()) << "no MR";
    EXPECT_TRUE(hydrogels_seen_jointly({&own.t1, &own.t2}, {&free_eye().t1, &free_eye().t2}).elements.empty()) << "no CT, and too little water";
    EXPECT_TRUE(hydrogels_seen_jointly(own.all(), {nullptr, nullptr, nullptr}).elements.empty());
    EXPECT_TRUE(hydrogels_seen_jointly(own.all(), {&free_eye().ct, nullptr, nullptr}).elements.empty()) << "one of them shows the fellow";
}

// T2 shows the most watery part only; CT takes a part clear of muscle for silicone.
TEST(JointlySeen, a_part_seen_by_itself_gives_way_to_the_whole) {
    const Shown& own = with_hydrogel();
    const auto jointly = hydrogels_seen_jointly(own.all(), free_eye().all()).elements;
    constexpr test::ShellSector first{0.6, 0.8, 80 * degrees, 95 * degrees, 0.5, 3.0}, second{2.2, 0.8, 80 * degrees, 95 * degrees, 0.5, 3.0};
    for (const Appearance appearance : {Appearance::t2_bright, Appearance::ct_bright}) {
        const FoundElement a = test::element_of(first, appearance, 330, 130), b = test::element_of(second, appearance, 330, 130);
        const bool ct = appearance == Appearance::ct_bright;
        const std::vector<std::vector<FoundElement>> found{ct ? std::vector{a, b} : std::vector<FoundElement>{}, {}, ct ? std::vector<FoundElement>{} : std::vector{a, b}};
        const auto fused = fuse_elements(own.all(), found, jointly);
        ASSERT_EQ(fused.elements.size(), 1U);
        EXPECT_TRUE(fused.elements[0].found.own_signs);
        EXPECT_EQ(fused.elements[0].view, 0U);
    }
}

// Soft tissue shows 10 to 80 HU, silicone 150 and more, a hydrogel of half water 92: 10 + 164 times its polymer's share (calculated, see material_table.h).
TEST(JointlySeen, a_body_denser_than_soft_tissue_is_seen_on_ct_alone) {
    const auto with_body = [](Eye which, double hu, const test::ShellSector& where) { return EyeView{0, Modality::ct, SeriesRole::ct_soft, 120.0, eye(which, on_ct, &hu, where)}; };
    const std::vector<const EyeView*> free{&free_eye().ct};
    const auto seen_at = [&](double hu) {
        const EyeView own = with_body(Eye::left, hu, place);
        return soft_bodies_unlike_fellow({&own}, free);
    };
    constexpr double half_water_hu = 92;
    const EyeView own = with_body(Eye::left, half_water_hu, place);
    const auto seen = soft_bodies_unlike_fellow({&own}, free);
    ASSERT_EQ(seen.size(), 1U);
    EXPECT_EQ(seen[0].found.appearance, Appearance::ct_mass);
    EXPECT_TRUE(seen[0].found.own_signs);
    EXPECT_TRUE(seen[0].also_seen_in.empty());
    EXPECT_NEAR(test::middle_hour(seen[0].found), 2.0, 0.3);
    EXPECT_NEAR(seen[0].found.core_signal, half_water_hu, 8.0);
    EXPECT_NEAR(volume_mm3(own.block, seen[0].found), place.volume_mm3(radius), 0.3 * place.volume_mm3(radius));
    EXPECT_TRUE(seen_at(on_ct.muscle).empty()) << "one muscle more";
    EXPECT_TRUE(seen_at(160).empty()) << "CT tells it by itself";
    EXPECT_TRUE(soft_bodies_unlike_fellow({&own}, free, {}, seen).empty()) << "told already";
    // So small that muscle makes up most of the soft tissue.
    constexpr test::ShellSector small{1.4, 1.4, 76 * degrees, 104 * degrees, 0.0, 4.0}, opposite{12.0 - 2.8, 1.4, 76 * degrees, 104 * degrees, 0.0, 4.0};
    const EyeView with_small = with_body(Eye::left, half_water_hu, small), alike = with_body(Eye::right, half_water_hu, opposite);
    EXPECT_EQ(soft_bodies_unlike_fellow({&with_small}, free).size(), 1U);
    EXPECT_TRUE(soft_bodies_unlike_fellow({&with_small}, {&alike}).empty()) << "in both eyes";
    EXPECT_TRUE(soft_bodies_unlike_fellow({&own}, {nullptr}).empty()) << "no fellow";
    const auto sliced = [&](const EyeView& eye, double slice_mm, bool body) {
        return EyeView{0, Modality::ct, SeriesRole::ct_soft, 120.0,
                       in_fat(on_ct, eye.block.globe(), slice_mm, [&](EyePoint e, double) { return body && place.holds(e, radius) ? std::optional(half_water_hu) : std::nullopt; })};
    };
    for (const auto& [slice_mm, told] : {std::pair{3.0, 1U}, std::pair{4.0, 0U}}) {
        const EyeView with = sliced(own, slice_mm, true), without = sliced(free_eye().ct, slice_mm, false);
        EXPECT_EQ(soft_bodies_unlike_fellow({&with}, {&without}).size(), told) << slice_mm << " mm: between thicker slices silicone is blurred to as little";
    }
}

}  // namespace perisclera
