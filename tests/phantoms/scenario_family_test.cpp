// SPDX-License-Identifier: Apache-2.0
// Expected behaviour: phantoms/README.md. Places in a scenario: RFC 6901. That draws fill their range evenly is held against the mean and
// standard deviation of the uniform distribution, (a + b) / 2 and (b - a) / sqrt(12).
#include "phantoms/scenario_family.h"

#include <array>
#include <cmath>

#include <gtest/gtest.h>

#include "phantoms/scenario.h"

namespace perisclera::phantoms {
namespace {

const std::string scenario = R"({"seed": 7, "patient": {"id": "A", "birth_year": 1950},
  "eyes": {"right": {"elements": [{"material": "solid_silicone", "form": "encircling", "limbus_mm": 12, "width_mm": 4, "thickness_mm": 1}]}},
  "timepoints": [{"study_date": "2010-01-31", "series": [{"kind": "ct"}]}]})";

std::vector<Scenario> members(const std::string& more) {
    const auto family = parse_family("{\"scenario\": " + scenario + more + "}");
    EXPECT_TRUE(family) << (family ? "" : family.error().what);
    std::vector<Scenario> all;
    if (family)
        for (const std::string& text : family.value()) all.push_back(parse_scenario(text).value());
    return all;
}

void expect_refused(const std::string& more, const std::string& naming) {
    const auto family = parse_family("{\"scenario\": " + scenario + more + "}");
    ASSERT_FALSE(family) << naming;
    EXPECT_EQ(family.error().code, ErrorCode::bad_scenario);
    EXPECT_NE(family.error().what.find(naming), std::string::npos) << family.error().what;
}

const Element& element(const Scenario& s) { return s.timepoints[0].eyes[0].elements[0]; }

TEST(ScenarioFamily, a_grid_is_every_combination_in_order) {
    const auto all = members(R"(, "grid": {"/eyes/right/elements/0/thickness_mm": [0.6, 1, 3], "/timepoints/0/series/0/kind": ["ct", "t1"]})");
    ASSERT_EQ(all.size(), 6U);
    constexpr std::array thickness{0.6, 1.0, 3.0};
    for (std::size_t i = 0; i < 6; ++i) {
        EXPECT_EQ(element(all[i]).thickness_mm, thickness[i / 2]);
        EXPECT_EQ(all[i].timepoints[0].series[0].kind, i % 2 == 0 ? Kind::ct : Kind::t1);
        EXPECT_EQ(all[i].seed, 7 + i);
    }
}

TEST(ScenarioFamily, without_variation_it_is_the_scenario) { EXPECT_EQ(members("").size(), 1U); }

TEST(ScenarioFamily, draws_fill_their_range_evenly_and_do_not_hang_together) {
    constexpr std::size_t count = 2000;
    const auto all = members(R"(, "random": {"count": 2000, "draw": {"/eyes/right/elements/0/width_mm": {"from": 2, "to": 6}, "/eyes/right/elements/0/limbus_mm": {"from": 11, "to": 14},
        "/patient/birth_year": {"from": 1930, "to": 1932, "whole": true}, "/timepoints/0/series/0/plane": {"one_of": ["axial", "coronal", "sagittal"]}}})");
    ASSERT_EQ(all.size(), count);
    double sum = 0, squares = 0, products = 0, other = 0;
    std::array<int, 3> years{}, planes{};
    for (const Scenario& s : all) {
        const double w = element(s).width_mm - 4.0, l = element(s).limbus_mm - 12.5;
        EXPECT_LE(std::abs(w), 2.0);
        sum += w, squares += w * w, products += w * l, other += l * l;
        ++years.at(static_cast<std::size_t>(s.birth_year - 1930));
        ++planes.at(static_cast<std::size_t>(s.timepoints[0].series[0].plane));
    }
    const double deviation = 4.0 / std::sqrt(12.0);
    EXPECT_NEAR(sum / count, 0.0, 4.0 * deviation / std::sqrt(count));
    EXPECT_NEAR(std::sqrt(squares / count), deviation, 0.05 * deviation);
    EXPECT_LT(std::abs(products) / std::sqrt(squares * other), 4.0 / std::sqrt(count)) << "correlation of independent draws";
    for (const int n : years) EXPECT_NEAR(n, count / 3.0, 4.0 * std::sqrt(count * 2.0 / 9.0));
    for (const int n : planes) EXPECT_NEAR(n, count / 3.0, 4.0 * std::sqrt(count * 2.0 / 9.0));
}

TEST(ScenarioFamily, one_more_place_leaves_the_others_as_they_were) {
    const auto few = members(R"(, "random": {"count": 5, "draw": {"/eyes/right/elements/0/width_mm": {"from": 2, "to": 6}}})");
    const auto more = members(R"(, "random": {"count": 5, "draw": {"/texture": {"from": 0, "to": 1}, "/eyes/right/elements/0/width_mm": {"from": 2, "to": 6}}})");
    ASSERT_EQ(few.size(), more.size());
    for (std::size_t i = 0; i < few.size(); ++i) EXPECT_EQ(element(few[i]).width_mm, element(more[i]).width_mm);
}

TEST(ScenarioFamily, refuses_and_names_what_is_wrong) {
    expect_refused(R"(, "colour": 1)", "scenario, grid, random");
    expect_refused(R"(, "grid": {"thickness": [1]})", "\"thickness\" is no JSON pointer");
    expect_refused(R"(, "grid": {"/eyes/left/elements/0/thickness_mm": [1]})", "is no place in the scenario");
    expect_refused(R"(, "grid": {"/timepoints/1": [1]})", "is no place in the scenario");
    expect_refused(R"(, "grid": {"/texture": []})", "must be a list of values");
    expect_refused(R"(, "grid": {"/eyes/right/elements/0/thickness_mm": [1, -1]})", "member 2: \"eyes.right.elements[0].thickness_mm\"");
    expect_refused(R"(, "random": {"count": 0, "draw": {}})", "random.count");
    expect_refused(R"(, "random": {"count": 2, "draw": {"/texture": {"from": 1, "to": 0}}})", "must be drawn from");
    expect_refused(R"(, "random": {"count": 2, "draw": {"/texture": {"one_of": []}}})", "must be drawn from");
    EXPECT_FALSE(parse_family("{"));
    EXPECT_FALSE(parse_family("[]"));
    EXPECT_FALSE(parse_family(R"({"scenario": {}})"));
}

}  // namespace
}  // namespace perisclera::phantoms
