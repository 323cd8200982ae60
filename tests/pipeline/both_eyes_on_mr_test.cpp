// SPDX-License-Identifier: Apache-2.0
// Silicone drawn on both eyes, seen on T1 and T2 without CT: each is told. Contrasts are facts of the trade (common practice, no source).
#include <numbers>

#include <gtest/gtest.h>

#include "src/pipeline/visit_analysis.h"
#include "tests/support/drawn_orbit.h"

namespace perisclera {

namespace {

constexpr double radius = 12.2, degrees = std::numbers::pi / 180.0;
constexpr test::OrbitSignals on_t1{210, 120, 1300, 330}, on_t2{930, 60, 700, 130};
constexpr double silicone = 15.0;
constexpr test::ShellSector tire{0.5, 4.0, 65 * degrees, 110 * degrees, 0.0, 4.0};

EyeView view(std::size_t series, SeriesRole role, Eye eye, const test::ShellSector& body) {
    constexpr test::MuscleStrips muscles{10.0, 4.0};
    return {series, Modality::mr, role, 120.0, test::drawn_orbit(eye, radius, role == SeriesRole::t1 ? on_t1 : on_t2, muscles, &body, silicone)};
}

/// The left eye carries the tire.
AnalysedVisit visit_with(const test::ShellSector& on_right) {
    std::vector<SeriesViews> series(2);
    for (const std::size_t s : {0u, 1u}) {
        const SeriesRole role = s == 0 ? SeriesRole::t1 : SeriesRole::t2;
        series[s].eye = {view(s, role, Eye::right, on_right), view(s, role, Eye::left, tire)};
    }
    return analyse_visit(std::move(series));
}

}  // namespace

// The tire's mirrored place is 7.5 to 11.5.
TEST(BothEyesOnMr, a_small_element_is_told_beside_a_large_one_of_the_other_eye) {
    const AnalysedVisit visit = visit_with({3.5, 1.6, 80 * degrees, 98 * degrees, 0.0, 2.5});
    ASSERT_EQ(visit.eye[1].elements.size(), 1U);
    EXPECT_NEAR(test::middle_hour(visit.eye[1].elements[0].element.found), 2.5, 0.3);
    ASSERT_EQ(visit.eye[0].elements.size(), 1U);
    EXPECT_NEAR(test::middle_hour(visit.eye[0].elements[0].element.found), 4.3, 0.3);
    EXPECT_GT(visit.eye[1].elements[0].element.found.strength, 4.0 * visit.eye[0].elements[0].element.found.strength) << "or the other eye would not have hidden it";
}

}  // namespace perisclera
