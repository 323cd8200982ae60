// SPDX-License-Identifier: Apache-2.0
// Bodies drawn on a globe and found in pieces: one body is one element, with the closed-form volume of a sector of a shell; two bodies with fat between stay two. Contrasts of the
// tissues are facts of the trade (common practice, no source); hydrogel of three quarters water on CT: 10 + 164 HU times the polymer's share (calculated, see material_table.h).
#include <numbers>

#include <gtest/gtest.h>

#include "src/segmentation/joined_pieces.h"
#include "tests/support/drawn_orbit.h"

namespace perisclera {

namespace {

constexpr double radius = 12.2, degrees = std::numbers::pi / 180.0, first = 72 * degrees, last = 112 * degrees, high_mm = 5.0;
constexpr test::OrbitSignals on_ct{8, 45, -95, 48}, on_t1{210, 120, 1300, 330}, on_t2{930, 60, 700, 130};
constexpr double hydrogel_hu = 51.0, hydrogel_t1 = 560.0, hydrogel_t2 = 330.0;
constexpr test::MuscleStrips muscles{10.0, 4.0};
constexpr test::ShellSector from_to(double from_hour, double to_hour) { return {from_hour, to_hour - from_hour, first, last, 0.0, high_mm}; }
constexpr test::ShellSector whole = from_to(0.6, 6.6);

struct Shown {
    EyeView ct, t1, t2;
    explicit Shown(const std::vector<test::ShellSector>& bodies)
        : ct{0, Modality::ct, SeriesRole::ct_soft, 120.0, test::drawn_orbit(Eye::left, radius, on_ct, muscles, bodies, hydrogel_hu)},
          t1{1, Modality::mr, SeriesRole::t1, 120.0, test::drawn_orbit(Eye::left, radius, on_t1, muscles, bodies, hydrogel_t1)},
          t2{2, Modality::mr, SeriesRole::t2, 120.0, test::drawn_orbit(Eye::left, radius, on_t2, muscles, bodies, hydrogel_t2)} {}
};

/// A third of a clock hour, 2 mm, short of each end, as evidence kept clear of every edge is.
EyeElement piece(const test::ShellSector& of, std::vector<std::size_t> also, double signal = hydrogel_hu) {
    EyeElement e{0, test::element_of({of.from_hour + 0.3, of.span_hours - 0.6, first + 5 * degrees, last - 5 * degrees, 0.5, high_mm - 1.0}, Appearance::ct_mass, signal, -95.0), std::move(also)};
    e.found.core_signal_uncertainty = 6.0, e.found.strength = 2.0;
    e.found.sure_columns = {{PolarBlock::cell(e.found.cells.front().index).clock * static_cast<std::size_t>(PolarBlock::polar_count), 0.0f}};
    return e;
}

std::vector<EyeElement> joined(const Shown& shown, std::vector<EyeElement> pieces) {
    return joined_pieces(std::move(pieces), {&shown.ct, &shown.t1, &shown.t2}, {nullptr, nullptr, nullptr}, {});
}

const Shown& with_one_body() {
    static const Shown shown({whole});
    return shown;
}

}  // namespace

TEST(JoinedPieces, of_one_body_are_one_element_as_large_as_it) {
    const auto out = joined(with_one_body(), {piece(from_to(0.6, 3.3), {1}), piece(from_to(3.3, 6.6), {2})});
    ASSERT_EQ(out.size(), 1U);
    EXPECT_NEAR(volume_mm3(with_one_body().ct.block, out[0].found), whole.volume_mm3(radius), 0.2 * whole.volume_mm3(radius)) << "as near as an outline comes (body_outline_test.cpp)";
    EXPECT_NEAR(test::middle_hour(out[0].found), 3.6, 0.2);
    EXPECT_EQ(out[0].also_seen_in, (std::vector<std::size_t>{1, 2}));
    EXPECT_DOUBLE_EQ(out[0].found.strength, 4.0);
    const auto& sure = out[0].found.sure_columns;
    ASSERT_EQ(sure.size(), 2U);
    EXPECT_LT(sure[0].column, sure[1].column);
}

TEST(JoinedPieces, with_fat_between_stay_two) {
    constexpr test::ShellSector one = from_to(0.6, 3.0), other = from_to(3.8, 6.6);   // 5 mm apart
    EXPECT_EQ(joined(Shown({one, other}), {piece(one, {}), piece(other, {})}).size(), 2U);
}

TEST(JoinedPieces, of_unlike_signal_stay_two) {
    EXPECT_EQ(joined(with_one_body(), {piece(from_to(0.6, 3.3), {}), piece(from_to(3.3, 6.6), {}, hydrogel_hu + 60.0)}).size(), 2U) << "ten standard uncertainties apart";
}

TEST(JoinedPieces, is_what_was_found_where_there_is_one_or_none) {
    EXPECT_TRUE(joined(with_one_body(), {}).empty());
    const EyeElement alone = piece(whole, {1});
    const auto out = joined(with_one_body(), {alone});
    ASSERT_EQ(out.size(), 1U);
    EXPECT_EQ(out[0].found.cells.size(), alone.found.cells.size()) << "not outlined here";
}

}  // namespace perisclera
