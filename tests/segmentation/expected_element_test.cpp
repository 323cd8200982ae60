// SPDX-License-Identifier: Apache-2.0
// A body drawn in an orbit of fat and muscle, looked for where another date is said to show it; closed-form place and volume. What each tissue shows: common practice, no
// source; hydrogel on CT 10 + 164 HU times the polymer's share (calculated, see material_table.h).
#include <map>
#include <numbers>

#include <gtest/gtest.h>

#include "perisclera/segmentation/expected_element.h"
#include "perisclera/segmentation/jointly_seen.h"
#include "tests/support/drawn_orbit.h"

namespace perisclera {

namespace {

constexpr double radius = 12.2, degrees = std::numbers::pi / 180.0;
constexpr test::OrbitSignals on_t1{210, 120, 1300, 330}, on_t2{930, 60, 700, 130};

/// What a body shows on T1 and T2.
struct Body {
    double t1, t2;
};
constexpr Body hydrogel{480, 335};   // of less water than T1 and T2 alone tell
constexpr Body watery{380, 860}, silicone{15, 20}, muscle{on_t1.muscle, on_t2.muscle};
constexpr Body mixture{0.7 * 330 + 0.3 * 1300, 0.7 * 130 + 0.3 * 700};   // three parts of fat in ten

constexpr test::ShellSector place{0.4, 3.2, 72 * degrees, 112 * degrees, 0.0, 5.0}, mirrored{8.4, 3.2, 72 * degrees, 112 * degrees, 0.0, 5.0};
/// Where another date showed it: an eye turned by 3 degrees, 2 mm farther back, as thick as it was.
constexpr test::ShellSector shown_at{0.5, 3.0, 81 * degrees, 119 * degrees, 0.0, 4.5};

struct Shown {
    EyeView t1, t2;
    explicit Shown(Eye which, const Body* body = nullptr) : t1(view(which, SeriesRole::t1, on_t1, body ? &body->t1 : nullptr)), t2(view(which, SeriesRole::t2, on_t2, body ? &body->t2 : nullptr)) {}
    [[nodiscard]] std::vector<const EyeView*> on_mr() const { return {&t1, &t2}; }

private:
    static EyeView view(Eye which, SeriesRole role, const test::OrbitSignals& tissue, const double* signal) {
        constexpr test::MuscleStrips muscles{10.0, 4.0};
        const std::size_t series = role == SeriesRole::t1 ? 0 : 1;
        return {series, Modality::mr, role, 120.0, signal != nullptr ? test::drawn_orbit(which, radius, tissue, muscles, which == Eye::left ? &place : &mirrored, *signal) : test::drawn_orbit(which, radius, tissue, muscles)};
    }
};

/// Each drawn once.
const Shown& fellow_eye() {
    static const Shown shown(Eye::right);
    return shown;
}
const Shown& free_eye() {
    static const Shown shown(Eye::left);
    return shown;
}
const Shown& with(const Body& body) {
    static std::map<std::pair<double, double>, Shown> shown;
    return shown.try_emplace({body.t1, body.t2}, Eye::left, &body).first->second;
}

const FoundElement& by_another_date() {
    static const FoundElement element = test::element_of(shown_at, Appearance::ct_bright, 190, -90);
    return element;
}

LookWhereExpected on_mr(const Shown& own, ExpectedKind kind, const Shown& fellow = fellow_eye()) { return look_where_expected({by_another_date(), kind}, own.on_mr(), fellow.on_mr()); }

}  // namespace

TEST(ExpectedElement, a_hydrogel_that_t1_and_t2_do_not_tell_alone_is_seen_where_it_is_expected) {
    const Shown& own = with(hydrogel);
    EXPECT_TRUE(hydrogels_seen_jointly(own.on_mr(), fellow_eye().on_mr()).elements.empty()) << "alone";
    const LookWhereExpected seen = on_mr(own, ExpectedKind::hydrogel);
    ASSERT_EQ(seen.holds, PlaceHolds::element);
    EXPECT_NEAR(test::middle_hour(seen.element->found), 2.0, 0.3);
    EXPECT_FALSE(seen.whole) << "its edges against muscle do not show";
}

TEST(ExpectedElement, a_watery_one_is_seen_with_its_size) {
    const Shown& own = with(watery);
    const LookWhereExpected seen = on_mr(own, ExpectedKind::hydrogel);
    ASSERT_EQ(seen.holds, PlaceHolds::element);
    EXPECT_TRUE(seen.whole);
    EXPECT_EQ(seen.element->view, 1U) << "measured on T2";
    // As well as a hydrogel's volume is known: to some 30 % (docs/known_limits.md).
    EXPECT_NEAR(volume_mm3(own.t2.block, seen.element->found), place.volume_mm3(radius), 0.3 * place.volume_mm3(radius));
}

TEST(ExpectedElement, what_another_date_shows_makes_no_element_of_normal_tissue) {
    for (const ExpectedKind kind : {ExpectedKind::hydrogel, ExpectedKind::silicone}) {
        EXPECT_NE(on_mr(free_eye(), kind).holds, PlaceHolds::element) << "nothing drawn";
        EXPECT_NE(on_mr(with(muscle), kind).holds, PlaceHolds::element) << "one muscle more";
        EXPECT_NE(on_mr(with(mixture), kind).holds, PlaceHolds::element) << "muscle and fat in one voxel";
    }
    EXPECT_NE(on_mr(with(hydrogel), ExpectedKind::silicone).holds, PlaceHolds::element) << "of another kind";
    EXPECT_NE(on_mr(with(silicone), ExpectedKind::hydrogel).holds, PlaceHolds::element) << "of another kind";
    EXPECT_NE(on_mr(with(hydrogel), ExpectedKind::hydrogel, Shown(Eye::right, &hydrogel)).holds, PlaceHolds::element) << "the fellow eye shows the same";
}

TEST(ExpectedElement, silicone_is_seen_as_a_void_and_its_wall_free_without_it) {
    const LookWhereExpected seen = on_mr(with(silicone), ExpectedKind::silicone);
    ASSERT_EQ(seen.holds, PlaceHolds::element);
    EXPECT_EQ(seen.element->found.appearance, Appearance::mr_void);
    EXPECT_NEAR(test::middle_hour(seen.element->found), 2.0, 0.3);
    EXPECT_EQ(on_mr(free_eye(), ExpectedKind::silicone).holds, PlaceHolds::free_wall);
}

TEST(ExpectedElement, a_wall_with_something_on_it_is_not_called_free) {
    for (const Body* body : {&hydrogel, &watery, &muscle}) EXPECT_NE(on_mr(Shown(Eye::left, body), ExpectedKind::hydrogel).holds, PlaceHolds::free_wall);
    EXPECT_NE(on_mr(with(silicone), ExpectedKind::silicone).holds, PlaceHolds::free_wall);
}

TEST(ExpectedElement, what_slices_are_too_thick_for_is_not_told) {
    constexpr test::ShellSector thin{0.5, 3.0, 81 * degrees, 119 * degrees, 0.0, 1.5};   // as thick as a slice
    const FoundElement band = test::element_of(thin, Appearance::ct_bright, 190, -90);
    const LookWhereExpected looked = look_where_expected({band, ExpectedKind::silicone}, free_eye().on_mr(), fellow_eye().on_mr());
    EXPECT_EQ(looked.holds, PlaceHolds::not_told);
    EXPECT_EQ(looked.why, WhyNotTold::too_thin);
}

TEST(ExpectedElement, without_a_series_or_a_fellow_eye_nothing_is_told) {
    const Shown& own = with(hydrogel);
    const auto look = [&](const std::vector<const EyeView*>& views, const std::vector<const EyeView*>& fellow) { return look_where_expected({by_another_date(), ExpectedKind::hydrogel}, views, fellow); };
    EXPECT_EQ(look({&own.t1}, {&fellow_eye().t1}).why, WhyNotTold::no_series) << "on T1 alone it looks like muscle";
    EXPECT_EQ(look({&own.t1, &own.t2}, {nullptr, nullptr}).why, WhyNotTold::no_fellow);
    EXPECT_EQ(look({}, {}).holds, PlaceHolds::not_told);
}

// CT shows either silicone by itself (signs: Lane JI et al., RadioGraphics 2003;23:983-994).
TEST(ExpectedElement, a_void_that_ct_does_not_show_is_no_silicone) {
    EyeView own_ct = free_eye().t1, fellow_ct = fellow_eye().t1;
    own_ct.modality = fellow_ct.modality = Modality::ct;
    const Shown& own = with(silicone);
    const LookWhereExpected looked = look_where_expected({by_another_date(), ExpectedKind::silicone}, {&own_ct, &own.t1, &own.t2}, {&fellow_ct, &fellow_eye().t1, &fellow_eye().t2});
    EXPECT_EQ(looked.holds, PlaceHolds::not_told);
}

// A sponge whose pores have filled shows fluid on T1 and T2 (common practice, no source): its wall is not free.
TEST(ExpectedElement, a_sponge_that_filled_is_not_called_gone) { EXPECT_EQ(on_mr(with(watery), ExpectedKind::silicone).holds, PlaceHolds::not_told); }

}  // namespace perisclera
