// SPDX-License-Identifier: Apache-2.0
// Two visits of an eye drawn from formulas, whose elements are sectors of a shell: one at one date, two parts of it at the other.
#include <numbers>

#include <gtest/gtest.h>

#include "src/pipeline/pieces_across_visits.h"
#include "tests/support/drawn_orbit.h"

namespace perisclera {

namespace {

constexpr double radius = 12.2, degrees = std::numbers::pi / 180.0;

const PolarBlock& orbit() {
    static const PolarBlock drawn = test::drawn_orbit(Eye::left, radius, {8, 45, -95, 48}, test::MuscleStrips{10.0, 4.0});
    return drawn;
}

AnalysedElement arc(double from, double span, Appearance look = Appearance::ct_bright) {
    const FoundElement found = test::element_of({from, span, 72 * degrees, 100 * degrees, 0.0, 2.5}, look, look == Appearance::ct_bright ? 190.0 : -530.0, -95.0);
    MaterialOpinion opinion = judge_material({});
    opinion.probability = {};
    opinion.probability[static_cast<std::size_t>(look == Appearance::ct_bright ? MaterialClass::solid_silicone : MaterialClass::silicone_sponge)] = 1.0;
    return {EyeElement{0, found, {}}, measure_element(orbit(), found), opinion};
}

AnalysedVisit visit(std::vector<AnalysedElement> elements) {
    AnalysedVisit out;
    SeriesViews series;
    series.eye[1] = EyeView{0, Modality::ct, SeriesRole::ct_soft, 120.0, orbit()};
    out.series.push_back(std::move(series));
    out.eye[1].views = {0};
    out.eye[1].elements = std::move(elements);
    return out;
}

double volume(const AnalysedElement& e) { return e.measured.volume.measured()->value().value(); }

}  // namespace

TEST(PiecesAcrossVisits, what_another_date_shows_as_one_is_one) {
    for (const bool whole_first : {true, false}) {
        const AnalysedElement first = arc(1.0, 2.2), second = arc(3.5, 2.5);
        std::vector<AnalysedVisit> visits{visit({arc(1.0, 5.0)}), visit({first, second})};
        if (!whole_first) std::swap(visits[0], visits[1]);
        join_pieces(visits);
        const auto &whole = visits[whole_first ? 0 : 1].eye[1].elements, &pieces = visits[whole_first ? 1 : 0].eye[1].elements;
        ASSERT_EQ(whole.size(), 1U);
        EXPECT_FALSE(whole[0].added_up);
        ASSERT_EQ(pieces.size(), 1U);
        EXPECT_TRUE(pieces[0].added_up);
        EXPECT_EQ(pieces[0].measured.fragments, 2);
        EXPECT_NEAR(volume(pieces[0]), volume(first) + volume(second), 1e-9);
        // 4.7 of 5 hours.
        EXPECT_NEAR(volume(pieces[0]) / volume(whole[0]), 4.7 / 5.0, 0.02);
    }
}

TEST(PiecesAcrossVisits, another_look_or_another_place_is_another_element) {
    std::vector<AnalysedVisit> other_look{visit({arc(1.0, 5.0)}), visit({arc(1.0, 2.2), arc(3.5, 2.5, Appearance::ct_dark)})};
    join_pieces(other_look);
    EXPECT_EQ(other_look[1].eye[1].elements.size(), 2U);
    std::vector<AnalysedVisit> other_place{visit({arc(1.0, 5.0)}), visit({arc(1.0, 2.2), arc(8.0, 2.5)})};
    join_pieces(other_place);
    EXPECT_EQ(other_place[1].eye[1].elements.size(), 2U);
    std::vector<AnalysedVisit> two_at_both{visit({arc(1.0, 2.2), arc(3.5, 2.5)}), visit({arc(1.0, 2.2), arc(3.5, 2.5)})};
    join_pieces(two_at_both);
    for (const AnalysedVisit& v : two_at_both) EXPECT_EQ(v.eye[1].elements.size(), 2U);
}

}  // namespace perisclera
