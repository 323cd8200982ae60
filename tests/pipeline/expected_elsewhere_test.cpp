// SPDX-License-Identifier: Apache-2.0
// Three visits drawn from formulas: a hydrogel on CT, T1 and T2; on T1 and T2, which do not tell it alone; and gone. What each tissue shows: common practice, no
// source.
#include <map>
#include <numbers>
#include <tuple>

#include <gtest/gtest.h>

#include "src/pipeline/expected_elsewhere.h"
#include "tests/support/drawn_orbit.h"

namespace perisclera {

namespace {

constexpr double radius = 12.2, degrees = std::numbers::pi / 180.0;
constexpr test::ShellSector place{0.4, 3.2, 72 * degrees, 112 * degrees, 0.0, 5.0};

struct Kind {
    Modality modality;
    SeriesRole role;
    test::OrbitSignals tissue;
    double hydrogel;
};
constexpr Kind ct{Modality::ct, SeriesRole::ct_soft, {8, 45, -95, 48}, 54}, t1{Modality::mr, SeriesRole::t1, {210, 120, 1300, 330}, 480}, t2{Modality::mr, SeriesRole::t2, {930, 60, 700, 130}, 335};

/// Each kind of image of each eye is drawn once.
const PolarBlock& orbit(const Kind& k, Eye eye, bool with_hydrogel) {
    constexpr test::MuscleStrips muscles{10.0, 4.0};
    static std::map<std::tuple<SeriesRole, Eye, bool>, PolarBlock> drawn;
    const auto key = std::tuple(k.role, eye, with_hydrogel);
    if (const auto known = drawn.find(key); known != drawn.end()) return known->second;
    return drawn.emplace(key, with_hydrogel ? test::drawn_orbit(eye, radius, k.tissue, muscles, &place, k.hydrogel) : test::drawn_orbit(eye, radius, k.tissue, muscles)).first->second;
}

/// A visit's views of a left eye with or without it and a free right one.
std::vector<SeriesViews> drawn(const std::vector<Kind>& kinds, bool with_hydrogel) {
    std::vector<SeriesViews> views;
    for (std::size_t s = 0; s < kinds.size(); ++s) {
        const Kind& k = kinds[s];
        SeriesViews series;
        series.eye[0] = EyeView{s, k.modality, k.role, 120.0, orbit(k, Eye::right, false)};
        series.eye[1] = EyeView{s, k.modality, k.role, 120.0, orbit(k, Eye::left, with_hydrogel)};
        views.push_back(std::move(series));
    }
    return views;
}

std::vector<AnalysedVisit> visits_of(std::vector<std::vector<SeriesViews>> views) {
    std::vector<AnalysedVisit> visits;
    for (auto& v : views) visits.push_back(analyse_visit(std::move(v)));
    return visits;
}

StudyDate year(int y) { return StudyDate::from_dicom(std::to_string(y) + "0502").value(); }

std::size_t elements(const AnalysedVisit& visit, Eye eye) { return visit.eye[eye == Eye::right ? 0 : 1].elements.size(); }

}  // namespace

TEST(ExpectedElsewhere, an_element_is_recognised_at_a_date_that_alone_would_not_tell_it_and_not_where_it_is_gone) {
    auto visits = visits_of({drawn({ct, t1, t2}, true), drawn({t1, t2}, true), drawn({t1, t2}, false)});
    ASSERT_EQ(elements(visits[0], Eye::left), 1U);
    ASSERT_EQ(elements(visits[1], Eye::left), 0U) << "alone";
    const auto places = look_where_expected_elsewhere(visits, {year(2008), year(2012), year(2016)});
    ASSERT_EQ(elements(visits[1], Eye::left), 1U);
    EXPECT_EQ(visits[1].eye[1].elements[0].expected_from, 0U);
    EXPECT_FALSE(visits[0].eye[1].elements[0].expected_from.has_value());
    EXPECT_FALSE(visits[1].eye[1].elements[0].measured.volume.has_value()) << "T1 and T2 do not show its edges";
    EXPECT_EQ(elements(visits[2], Eye::left), 0U);
    for (const AnalysedVisit& v : visits) EXPECT_EQ(elements(v, Eye::right), 0U);
    ASSERT_EQ(places.size(), 2U);
    EXPECT_EQ(places[0].at, 1U);
    EXPECT_EQ(places[0].holds, PlaceHolds::element);
    EXPECT_EQ(places[1].at, 2U);
    EXPECT_EQ(places[1].showing, 0U) << "not from a date that only recognised it";
    EXPECT_NE(places[1].holds, PlaceHolds::element);
}

TEST(ExpectedElsewhere, a_later_date_tells_an_earlier_one) {
    auto visits = visits_of({drawn({t1, t2}, true), drawn({ct, t1, t2}, true)});
    look_where_expected_elsewhere(visits, {year(2008), year(2012)});
    ASSERT_EQ(elements(visits[0], Eye::left), 1U);
    EXPECT_EQ(visits[0].eye[1].elements[0].expected_from, 1U);
}

TEST(ExpectedElsewhere, one_visit_stays_as_it_is) {
    auto visits = visits_of({drawn({t1, t2}, true)});
    EXPECT_TRUE(look_where_expected_elsewhere(visits, {year(2008)}).empty());
    EXPECT_EQ(elements(visits[0], Eye::left), 0U);
}

}  // namespace perisclera
