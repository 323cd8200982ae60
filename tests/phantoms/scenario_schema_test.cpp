// SPDX-License-Identifier: Apache-2.0
// phantoms/scenario.schema.json against the parser: what they refuse and what they take for granted. Both were written from the same tables of
// phantoms/README.md; what of them the schema names is compared in scenario_schema_keys_test.
#include <gtest/gtest.h>

#include <filesystem>
#include <regex>
#include <string>
#include <vector>

#include "phantoms/scenario.h"
#include "tests/phantoms/scenario_variants.h"
#include "tests/support/test_folder.h"

namespace perisclera::phantoms {
namespace {

using nlohmann::json;
using test::Variant;

/// What the parser says; empty where it accepts.
std::string refusal(const json& scenario) {
    const auto parsed = parse_scenario(scenario.dump());
    return parsed ? "" : parsed.error().what;
}

/// Refusals for how values fit together, which the schema's description leaves to the program.
bool beyond_a_schema(const std::string& refusal) {
    static const std::regex fits(R"x(must differ from from_hour|puts the element's edge|must be later|must be less than repetition|has no room)x"
                                 R"x(|must be 0 or at least 20 a tesla|(axial_length_mm|indentation_mm|groove\.\w+)" must lie between|must be at least diameter_mm)x"
                                 R"x(|timepoints\[\d+\]\.eyes\.\w+\.(contents_share" is not a known key|elements" need a globe))x");
    return std::regex_search(refusal, fits);
}

/// Schema and parser refuse the same of `variants`; how many the schema refuses.
int expect_alike(const std::vector<Variant>& variants) {
    std::vector<json> scenarios;
    for (const Variant& v : variants) scenarios.push_back(v.scenario);
    const json answers = test::checked_by_schema(scenarios, test::Told::errors);
    int refused = 0;
    for (std::size_t i = 0; i < variants.size(); ++i) {
        const std::string by_schema = answers[i]["error"], by_parser = refusal(scenarios[i]);
        const std::string told = variants[i].about + "\n schema: " + by_schema + "\n parser: " + by_parser;
        switch (variants[i].expected) {
            case Variant::Expected::sound: EXPECT_TRUE(by_schema.empty() && (by_parser.empty() || beyond_a_schema(by_parser))) << told; break;
            case Variant::Expected::wrong: EXPECT_TRUE(!by_schema.empty() && !by_parser.empty()) << told; break;
            case Variant::Expected::alike: EXPECT_TRUE(by_schema.empty() == by_parser.empty() || (by_schema.empty() && beyond_a_schema(by_parser))) << told; break;
        }
        refused += !by_schema.empty();
    }
    ::testing::Test::RecordProperty("variants", static_cast<int>(variants.size()));
    return refused;
}

TEST(ScenarioSchema, every_scenario_shipped_is_valid) {
    std::vector<json> scenarios{json::parse(test::read_bytes(test::phantoms_folder() / "demo_scenario.json"))};
    for (const auto& entry : std::filesystem::directory_iterator(test::phantoms_folder() / "scenarios"))
        scenarios.push_back(json::parse(test::read_bytes(entry.path())));
    ASSERT_GE(scenarios.size(), 13u);
    for (const json& answer : test::checked_by_schema(scenarios)) EXPECT_EQ(answer["error"], "");
}

TEST(ScenarioSchema, stated_defaults_are_those_of_the_parser) {
    auto plain = test::rich_scenarios();
    ASSERT_EQ(plain.size(), 13u);
    for (const json& more : test::look_alike_scenarios()) plain.push_back(more);
    const json answers = test::checked_by_schema(plain);
    for (std::size_t i = 0; i < plain.size(); ++i) {
        ASSERT_EQ(answers[i]["error"], "");
        const json& filled = answers[i]["filled"];
        ASSERT_EQ(refusal(filled), "");
        const Scenario a = parse_scenario(plain[i].dump()).value(), b = parse_scenario(filled.dump()).value();
        EXPECT_EQ(a.texture, b.texture);
        EXPECT_EQ(a.patient_sex, b.patient_sex);
        EXPECT_TRUE(a.timepoints[0].series == b.timepoints[0].series) << filled;
        for (std::size_t e = 0; e < 2; ++e) {
            EXPECT_TRUE(a.timepoints[0].eyes[e].elements == b.timepoints[0].eyes[e].elements) << filled;
            EXPECT_TRUE(a.timepoints[0].eyes[e].look_alikes == b.timepoints[0].eyes[e].look_alikes) << filled;
            EXPECT_EQ(a.timepoints[0].eyes[e].contents_share, b.timepoints[0].eyes[e].contents_share) << filled;
        }
        // Fewer than half of a series' keys stand in the plain scenario: the comparison is not with itself.
        EXPECT_GT(filled["timepoints"][0]["series"][0].size(), plain[i]["timepoints"][0]["series"][0].size() + 8);
    }
    const json& globes = answers[13]["filled"]["eyes"]["right"];
    EXPECT_EQ(globes["contents_share"], 1);
    EXPECT_EQ(globes["elements"][0]["filled_share"], 0);
    EXPECT_EQ(globes["look_alikes"][3].size(), 5u) << "a drainage device's kind, material, place, size and bleb; where its meridian lies by default no schema can say";
}

TEST(ScenarioSchema, schema_and_parser_refuse_the_same) {
    std::vector<Variant> variants;
    for (const json& answer : test::checked_by_schema(test::rich_scenarios())) {
        test::vary(answer["filled"], answer["ranges"], answer["filled"].contains("eyes") ? "" : "/timepoints/0/series/0", variants);
        test::mix(answer["filled"], variants);
    }
    EXPECT_GT(expect_alike(variants), 1000);
}

TEST(ScenarioSchema, schema_and_parser_refuse_the_same_look_alikes_and_shares) {
    std::vector<Variant> variants;
    for (const json& answer : test::checked_by_schema(test::look_alike_scenarios())) {
        const json& base = answer["filled"];
        test::vary(base, answer["ranges"], "/eyes", variants);
        test::vary(base, answer["ranges"], "/timepoints/0/eyes", variants);
        test::mix_look_alikes(base, variants);
    }
    const std::vector<json> plain = test::look_alike_scenarios();
    const json socket = {{{"kind", "empty_socket"}}};
    using enum Variant::Expected;
    variants.push_back({"nothing on the globe, and none", test::with(plain[0], "/eyes/left/look_alikes", socket), sound});
    variants.push_back({"an element without a globe", test::with(plain[0], "/eyes/right/look_alikes", socket), wrong});
    variants.push_back({"no more elements without a globe", test::with(test::with(plain[0], "/eyes/right/look_alikes", socket), "/eyes/right/elements", json::array()), sound});
    variants.push_back({"a plaque without a globe", test::with(plain[1], "/eyes/right/look_alikes/1", {{"kind", "scleral_plaque"}, {"muscle", "medial"}}), wrong});
    variants.push_back({"a plate without a globe", test::with(plain[1], "/eyes/right/look_alikes/1", {{"kind", "fracture_plate"}, {"material", "titanium"}}), sound});
    variants.push_back({"a share of the contents at first", test::with(plain[1], "/eyes/left/contents_share", 0.5), wrong});
    EXPECT_GT(expect_alike(variants), 1000);
}

}  // namespace
}  // namespace perisclera::phantoms
