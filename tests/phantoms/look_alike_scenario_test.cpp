// SPDX-License-Identifier: Apache-2.0
// Look-alikes in scenarios: what is refused and how it is named, what has room, and what truth.json says of them.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "phantoms/look_alike_fit.h"
#include "phantoms/truth.h"

namespace perisclera::phantoms {
namespace {

std::string scenario_text(const std::string& right) {
    return R"({"seed": 1, "patient": {"id": "A", "birth_year": 1950}, "eyes": {"right": {)" + right +
           R"(}}, "timepoints": [{"study_date": "2010-01-31", "series": [{"kind": "ct"}]}]})";
}

std::string with(const std::string& look_alikes) { return scenario_text(R"("look_alikes": [)" + look_alikes + "]"); }

TEST(LookAlikeScenario, what_is_wrong_is_named_by_its_key) {
    const std::string at = "eyes.right.look_alikes[0].";
    struct Case {
        std::string eye, named;
    };
    for (const Case& c : {Case{R"("look_alikes": [{"kind": "tube"}])", at + "kind"},
                          {R"("look_alikes": [{"kind": "oil_pocket", "hour": 13, "limbus_mm": 8}])", at + "hour"},
                          {R"("look_alikes": [{"kind": "oil_pocket", "hour": 3}])", at + "limbus_mm"},
                          {R"("look_alikes": [{"kind": "cyst", "hour": 3, "limbus_mm": 8, "size_mm": [9, 9]}])", at + "size_mm"},
                          {R"("look_alikes": [{"kind": "scleral_plaque", "muscle": "superior"}])", at + "muscle"},
                          {R"("look_alikes": [{"kind": "scleral_plaque", "muscle": "medial", "hour": 3}])", at + "hour"},
                          {R"("look_alikes": [{"kind": "fracture_plate", "material": "gold"}])", at + "material"},
                          {R"("look_alikes": [{"kind": "eyelid_weight", "material": "titanium"}])", at + "material"},
                          {R"("look_alikes": [{"kind": "drainage_device", "material": "polyethylene"}])", at + "material"},
                          {R"("look_alikes": [{"kind": "orbital_sphere", "material": "acrylic", "diameter_mm": 30}])", at + "diameter_mm"},
                          {R"("look_alikes": [{"kind": "wood_splinter", "hour": 3, "limbus_mm": 8, "length_mm": 2, "diameter_mm": 3}])", at + "length_mm"},
                          {R"("look_alikes": [{"kind": "abscess", "gas_share": 2}])", at + "gas_share"},
                          {R"("look_alikes": [{"kind": "thickened_muscles"}])", at + "factor"},
                          {R"("look_alikes": [{"kind": "perfluorocarbon_drop"}])", at + "diameter_mm"},
                          {R"("look_alikes": {})", "eyes.right.look_alikes"},
                          {R"("contents": "oil")", "eyes.right.contents"},
                          {R"("contents": "gas", "contents_share": 1.5)", "eyes.right.contents_share"},
                          {R"("contents_share": 0.5)", "eyes.right.contents_share"},  // of what is all vitreous
                          {R"("look_alikes": [{"kind": "scleral_plaque", "muscle": "medial"}, {"kind": "empty_socket"}])", "eyes.right.look_alikes[0]"},
                          {R"("look_alikes": [{"kind": "empty_socket"}],
                              "elements": [{"material": "solid_silicone", "form": "encircling", "limbus_mm": 12, "width_mm": 2.5, "thickness_mm": 0.75}])",
                           "eyes.right.elements"},
                          {R"("elements": [{"material": "hydrogel", "form": "encircling", "limbus_mm": 12, "width_mm": 3, "thickness_mm": 2, "water_fraction": 0.9,
                                            "filled_share": 0.5}])",
                           "eyes.right.elements[0].filled_share"}}) {
        const auto scenario = parse_scenario(scenario_text(c.eye));
        ASSERT_FALSE(scenario) << c.eye;
        EXPECT_EQ(scenario.error().code, ErrorCode::bad_scenario);
        EXPECT_NE(scenario.error().what.find("\"" + c.named + "\""), std::string::npos) << scenario.error().what;
    }
}

TEST(LookAlikeScenario, one_without_room_is_refused_by_its_name) {
    struct Case {
        std::string eye, why;
    };
    for (const Case& c : {Case{R"("look_alikes": [{"kind": "cyst", "hour": 3, "limbus_mm": 12, "size_mm": [16, 16, 19]}])", "within bone"},
                          {R"("look_alikes": [{"kind": "cyst", "hour": 6, "limbus_mm": 3, "size_mm": [8, 6, 9]}])", "beyond the skin"},
                          {R"("look_alikes": [{"kind": "wood_splinter", "hour": 6, "limbus_mm": 4, "length_mm": 25, "diameter_mm": 3}])", "beyond the skin"},
                          {R"("look_alikes": [{"kind": "wood_splinter", "hour": 9, "limbus_mm": 14, "length_mm": 14, "diameter_mm": 4, "gap_mm": 9}])", "within bone"},
                          {R"("elements": [{"material": "solid_silicone", "form": "encircling", "limbus_mm": 12, "width_mm": 2.5, "thickness_mm": 0.75}],
                              "look_alikes": [{"kind": "oil_pocket", "hour": 3, "limbus_mm": 11}])",
                           "element's place"},
                          {R"("elements": [{"material": "hydrogel", "form": "encircling", "limbus_mm": 12, "width_mm": 6, "thickness_mm": 3, "water_fraction": 0.9}],
                              "look_alikes": [{"kind": "wood_splinter", "hour": 6, "limbus_mm": 14, "length_mm": 10, "diameter_mm": 2}])",
                           "something on the globe"},
                          {R"("look_alikes": [{"kind": "cyst", "hour": 3, "limbus_mm": 10}, {"kind": "oil_pocket", "hour": 3, "limbus_mm": 11}])", "another look-alike's place"}}) {
        const auto scenario = parse_scenario(scenario_text(c.eye));
        ASSERT_TRUE(scenario) << scenario.error().what;
        const auto fits = look_alikes_fit(scenario.value());
        ASSERT_FALSE(fits) << c.eye;
        EXPECT_EQ(fits.error().code, ErrorCode::bad_scenario);
        EXPECT_NE(fits.error().what.find("timepoints[0].eyes.right.look_alikes["), std::string::npos) << fits.error().what;
        EXPECT_NE(fits.error().what.find(c.why), std::string::npos) << fits.error().what;
    }
}

TEST(LookAlikeScenario, those_of_the_scenarios_have_room) {
    int with_look_alikes = 0;
    for (const auto& file : std::filesystem::directory_iterator(std::string(PERISCLERA_SOURCE_DIR) + "/phantoms/scenarios")) {
        std::stringstream text;
        text << std::ifstream(file.path()).rdbuf();
        const auto scenario = parse_scenario(text.str());
        ASSERT_TRUE(scenario) << file.path() << scenario.error().what;
        const auto fits = look_alikes_fit(scenario.value());
        EXPECT_TRUE(fits) << file.path() << fits.error().what;
        with_look_alikes += text.str().find("look_alikes") != std::string::npos;
    }
    EXPECT_GE(with_look_alikes, 5);
}

TEST(LookAlikeScenario, usual_ones_have_room_in_drawn_heads) {
    for (const std::string kind : {R"("scleral_plaque", "muscle": "medial")", R"("drainage_device")", R"("fracture_plate", "material": "polyethylene")",
                                   R"("fracture_plate", "material": "titanium_mesh", "wall": "medial")", R"("eyelid_weight")", R"("abscess")"})
        for (int seed = 0; seed < 3; ++seed) {
            const std::string text = with("{\"kind\": " + kind + "}");
            const auto scenario = parse_scenario(text.substr(0, text.size() - 1) + ", \"anatomy\": {\"seed\": " + std::to_string(seed) + "}}");
            ASSERT_TRUE(scenario) << scenario.error().what;
            const auto fits = look_alikes_fit(scenario.value());
            EXPECT_TRUE(fits) << seed << fits.error().what;
        }
}

TEST(LookAlikeScenario, truth_tells_them_from_explants) {
    const auto scenario = parse_scenario(scenario_text(R"("contents": "gas", "contents_share": 0.25, "look_alikes": [
        {"kind": "oil_pocket", "hour": 7.5, "limbus_mm": 9, "size_mm": [6, 4, 2]}, {"kind": "wood_splinter", "hour": 6, "limbus_mm": 14, "length_mm": 10, "diameter_mm": 2},
        {"kind": "drainage_device"}])"));
    ASSERT_TRUE(scenario) << scenario.error().what;
    const auto truth = nlohmann::json::parse(truth_json({{"2010-01-31", {}, scenario.value().timepoints[0].eyes}}));
    EXPECT_TRUE(truth["side"].is_null());
    EXPECT_TRUE(truth["material"].is_null());
    const auto& timepoint = truth["timepoints"][0];
    EXPECT_TRUE(timepoint["elements"].empty());
    const auto& eye = timepoint["eyes"]["right"];
    EXPECT_TRUE(eye["elements"].empty());
    EXPECT_EQ(eye["contents"]["kind"], "gas");
    EXPECT_NEAR(eye["contents"]["volume_mm3"].get<double>(), 0.25 * eye["contents"]["cavity_mm3"].get<double>(), 1e-3);
    ASSERT_EQ(eye["look_alikes"].size(), 3u);
    const auto& oil = eye["look_alikes"][0];
    EXPECT_EQ(oil["kind"], "oil_pocket");
    EXPECT_EQ(oil["explant"], false);
    EXPECT_NEAR(oil["limbus_mm"]["anterior"].get<double>(), 7.0, 0.01);
    EXPECT_NEAR(oil["limbus_mm"]["posterior"].get<double>(), 11.0, 0.01);
    EXPECT_GT(oil["volume_mm3"].get<double>(), 0.0);
    EXPECT_LT(eye["look_alikes"][1]["from_globe_mm"][2].get<double>(), -11.0) << "below the globe";
    EXPECT_EQ(eye["look_alikes"][2]["material"], "silicone");
    EXPECT_GT(eye["look_alikes"][2]["fluid_mm3"].get<double>(), 0.0);
    EXPECT_FALSE(timepoint["eyes"]["left"].contains("look_alikes"));
    EXPECT_FALSE(timepoint["eyes"]["left"].contains("contents"));
}

TEST(LookAlikeScenario, truth_says_that_a_globe_is_missing) {
    const auto scenario = parse_scenario(with(R"({"kind": "orbital_sphere", "material": "hydroxyapatite"})"));
    ASSERT_TRUE(scenario);
    const auto truth = nlohmann::json::parse(truth_json({{"2010-01-31", {}, scenario.value().timepoints[0].eyes}}));
    EXPECT_EQ(truth["timepoints"][0]["eyes"]["right"]["globe"], "missing");
    EXPECT_FALSE(truth["timepoints"][0]["eyes"]["right"].contains("axial_length_mm"));
    EXPECT_TRUE(truth["timepoints"][0]["outer_radius_mm"]["right"].is_null());
    EXPECT_TRUE(truth["timepoints"][0]["eyes"]["left"].contains("axial_length_mm"));
}

}  // namespace
}  // namespace perisclera::phantoms
