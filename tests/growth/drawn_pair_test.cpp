// SPDX-License-Identifier: Apache-2.0
// Pairs are what they are said to be: scenarios of two dates that differ in what happened and in nothing else of the patient.
#include "tests/growth/drawn_pair.h"

#include <gtest/gtest.h>

#include <set>
#include <vector>

#include <nlohmann/json.hpp>

#include "phantoms/scenario.h"

namespace perisclera::growth {

using nlohmann::json;

namespace {

/// Enough for each event to come once.
const std::vector<DrawnPair>& sixteen_pairs() {
    static const std::vector<DrawnPair> drawn = [] {
        std::vector<DrawnPair> pairs;
        for (int number = 0; number < 16; ++number) pairs.push_back(draw_pair(5, number));
        return pairs;
    }();
    return drawn;
}

json elements_of(const json& scenario, std::size_t date) {
    for (const auto& eye : scenario["timepoints"][date]["eyes"])
        if (eye.contains("elements")) return eye["elements"];
    return {};
}

json without(json element, std::initializer_list<const char*> keys) {
    for (const char* key : keys) element.erase(key);
    return element;
}

}  // namespace

TEST(DrawnPair, of_one_seed_and_number_is_the_same) {
    EXPECT_EQ(draw_pair(5, 3).scenario, sixteen_pairs()[3].scenario);
    EXPECT_NE(draw_pair(6, 3).scenario, sixteen_pairs()[3].scenario);
}

TEST(DrawnPair, holds_what_happened_and_nothing_else_of_the_patient) {
    std::set<Event> seen;
    for (const DrawnPair& pair : sixteen_pairs()) {
        const int number = pair.number;
        ASSERT_TRUE(phantoms::parse_scenario(pair.scenario)) << number << pair.scenario;
        const json scenario = json::parse(pair.scenario);
        ASSERT_EQ(scenario["timepoints"].size(), 2u);
        const json before = elements_of(scenario, 0), after = elements_of(scenario, 1);
        seen.insert(pair.event);
        EXPECT_EQ(before.empty(), pair.event == Event::added) << number;
        EXPECT_EQ(after.empty(), pair.event == Event::removed) << number;
        if (before.empty() || after.empty()) continue;
        const json &a = before[0], &b = after[0];
        const auto same_but_for = [&](std::initializer_list<const char*> keys) { EXPECT_EQ(without(a, keys), without(b, keys)) << number; };
        switch (pair.event) {
            case Event::none: same_but_for({}); break;
            case Event::broken: same_but_for({"fragments", "gap_mm"}); break;
            case Event::cut_back: same_but_for({"form", "from_hour", "to_hour"}); break;
            case Event::moved:
                same_but_for({"limbus_mm"});
                EXPECT_GT(a["limbus_mm"], b["limbus_mm"]) << number << ": forward";
                break;
            case Event::grown:
                EXPECT_LT(a["thickness_mm"], b["thickness_mm"]) << number;
                EXPECT_LE(a.value("water_fraction", 0.0), b.value("water_fraction", 0.0)) << number << ": it swells by water";
                break;
            default: FAIL() << number;
        }
    }
    EXPECT_EQ(seen.size(), 7u) << "each event comes in every sixteen pairs";
}

TEST(DrawnPair, of_like_series_changes_neither_kernel_nor_slices) {
    int like = 0;
    for (const DrawnPair& pair : sixteen_pairs()) {
        if (!pair.like_series) continue;
        ++like;
        const int number = pair.number;
        const json scenario = json::parse(pair.scenario);
        const json &first = scenario["timepoints"][0]["series"][0], &second = scenario["timepoints"][1]["series"][0];
        for (const char* key : {"kind", "plane", "spacing_mm", "slice_thickness_mm"}) EXPECT_EQ(first[key], second[key]) << number;
        EXPECT_EQ(first.value("kernel", ""), second.value("kernel", "")) << number;
        EXPECT_NE(first["pose_deg"], second["pose_deg"]) << number;
    }
    EXPECT_GT(like, 3);
}

}  // namespace perisclera::growth
