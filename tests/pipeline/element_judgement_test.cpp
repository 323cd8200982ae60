// SPDX-License-Identifier: Apache-2.0
// A drawn body of soft tissue on CT, T1 and T2 (tissues' contrasts: common practice, no source), known by the fat it holds off or by what the series show together.
#include <numbers>

#include <gtest/gtest.h>

#include "src/pipeline/element_judgement.h"
#include "tests/support/drawn_orbit.h"

namespace perisclera {

namespace {

constexpr double radius = 12.2, degrees = std::numbers::pi / 180.0;
constexpr test::ShellSector place{0.4, 3.2, 72 * degrees, 112 * degrees, 0.0, 5.0};
constexpr test::MuscleStrips muscles{10.0, 4.0};
/// As a growth shows: on CT and T1 as muscle, on T2 somewhat brighter.
constexpr double on_ct = 45, on_t1 = 330, on_t2 = 220;

SeriesViews series(std::size_t index, Modality modality, SeriesRole role, const test::OrbitSignals& tissue, double body) {
    const auto view = [&](Eye eye, const test::ShellSector* where) { return EyeView{index, modality, role, 120.0, test::drawn_orbit(eye, radius, tissue, muscles, where, body)}; };
    return {{view(Eye::right, nullptr), view(Eye::left, &place)}};
}

AnalysedVisit visit() {
    AnalysedVisit v{{series(0, Modality::ct, SeriesRole::ct_soft, {8, 45, -95, 48}, on_ct), series(1, Modality::mr, SeriesRole::t1, {210, 120, 1300, 330}, on_t1),
                     series(2, Modality::mr, SeriesRole::t2, {930, 60, 700, 130}, on_t2)}, {}};
    for (AnalysedEye& eye : v.eye) eye.views = {0, 1, 2};
    return v;
}

}  // namespace

// The fellow eye explains what holds off fat as muscle, lid or gland; what no place of it shows is told, whatever it is made of.
TEST(ElementJudgement, what_several_series_show_together_is_told_where_its_material_stays_open) {
    const AnalysedVisit both = visit();
    const auto judged = [&](bool own_signs) {
        EyeElement element{0, test::element_of(place, Appearance::ct_mass, on_ct, -95.0), {1, 2}};
        element.found.own_signs = own_signs;
        return judge_element(both, 1, element, {&element.found}, {});
    };
    EXPECT_FALSE(judged(false)) << "by the fat that it holds off";
    const auto told = judged(true);
    ASSERT_TRUE(told);
    EXPECT_NE(told->opinion.label, MaterialClass::hydrogel);
    EXPECT_NE(told->opinion.label, MaterialClass::solid_silicone);
    EXPECT_GT(told->opinion.probability[static_cast<std::size_t>(MaterialClass::other)], 0.3);
}

}  // namespace perisclera
