// SPDX-License-Identifier: Apache-2.0
// Expected behaviour: phantoms/README.md (an unknown key or wrong type is refused, naming the key; exit status 2).
#include "phantoms/scenario.h"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <sstream>

namespace perisclera::phantoms {
namespace {

const std::string good = R"({"seed": 1, "patient": {"id": "A", "birth_year": 1950},
  "eyes": {"right": {"elements": [{"material": "hydrogel", "form": "segmental", "from_hour": 1, "to_hour": 3, "limbus_mm": 12, "width_mm": 4,
                                   "thickness_mm": 3, "water_fraction": 0.8}]}},
  "timepoints": [{"study_date": "2010-01-31", "series": [{"kind": "ct"}]}]})";

std::string with(const std::string& from, const std::string& to) {
    std::string text = good;
    const auto at = text.find(from);
    EXPECT_NE(at, std::string::npos) << from;
    return text.replace(at, from.size(), to);
}

void expect_refused(const std::string& text, const std::string& naming) {
    const auto scenario = parse_scenario(text);
    ASSERT_FALSE(scenario) << naming;
    EXPECT_EQ(scenario.error().code, ErrorCode::bad_scenario);
    EXPECT_EQ(exit_status(scenario.error().code), 2);
    EXPECT_NE(scenario.error().what.find(naming), std::string::npos) << scenario.error().what;
}

TEST(Scenario, reads_what_it_says) {
    const auto scenario = parse_scenario(good);
    ASSERT_TRUE(scenario) << scenario.error().what;
    const Timepoint& t = scenario.value().timepoints.at(0);
    ASSERT_EQ(t.eyes[0].elements.size(), 1u);
    EXPECT_TRUE(t.eyes[1].elements.empty());
    EXPECT_EQ(t.eyes[0].elements[0].material, Material::hydrogel);
    EXPECT_EQ(t.eyes[0].elements[0].water_fraction, 0.8);
    EXPECT_EQ(t.series.at(0).kind, Kind::ct);
    EXPECT_EQ(t.study_date, "2010-01-31");
}

// Groove, overlap, raised band and the rest are read where they belong, and are unknown keys elsewhere (phantoms/README.md).
TEST(Scenario, reads_what_an_element_has_beyond_its_section) {
    const auto gel = parse_scenario(with("\"width_mm\": 4", R"("width_mm": 4, "fragments": 3, "gap_mm": 0.5, "capsule_mm": 0.6, "calcified_share": 0.2)")).value();
    const Element& broken = gel.timepoints.at(0).eyes[0].elements.at(0);
    EXPECT_EQ(broken.fragments, 3);
    EXPECT_EQ(broken.gap_mm, 0.5);
    EXPECT_EQ(broken.capsule_mm, 0.6);
    EXPECT_EQ(broken.calcified_share, 0.2);
    expect_refused(with("\"width_mm\": 4", R"("width_mm": 4, "groove": {"width_mm": 5, "depth_mm": 1})"), "eyes.right.elements[0].groove.width_mm");
    expect_refused(with("\"width_mm\": 4", R"("width_mm": 4, "overlap": {"hour": 5, "length_mm": 3})"), "\"eyes.right.elements[0].overlap\" is not a known key");
    expect_refused(with("\"width_mm\": 4", R"("width_mm": 4, "gap_mm": 1)"), "\"eyes.right.elements[0].gap_mm\" is not a known key");
}

TEST(Scenario, draws_the_anatomy_that_is_asked_for) {
    const auto eyes = [](const std::string& anatomy) { return parse_scenario(with("\"seed\": 1", "\"seed\": 1, \"anatomy\": " + anatomy)).value().timepoints.at(0).eyes; };
    EXPECT_FALSE(parse_scenario(good).value().timepoints.at(0).eyes[0].anatomy.sclera) << "fixed where nobody asks";
    EXPECT_EQ(eyes("{}")[0].globe_radius_mm, eyes("{\"seed\": 1}")[0].globe_radius_mm);
    EXPECT_NE(eyes("{}")[0].globe_radius_mm, eyes("{\"seed\": 2}")[0].globe_radius_mm);
    EXPECT_EQ(eyes("{}")[0].elements.size(), 1u);
    const auto uneven = eyes(R"({"right": "myopic"})");
    EXPECT_GT(uneven[0].axial_length_mm, uneven[1].axial_length_mm + 1.0);
    expect_refused(with("\"seed\": 1", R"("seed": 1, "anatomy": {"right": "square"})"), "anatomy.right");
    expect_refused(with("\"seed\": 1", R"("seed": 1, "anatomy": 3)"), "anatomy");
}

TEST(Scenario, refuses_and_names_the_key) {
    expect_refused("{", "JSON");
    expect_refused(std::string(100'000, '['), "JSON");
    expect_refused(std::string(100'000, '[') + std::string(100'000, ']'), "the scenario is nested deeper than 32 levels");
    expect_refused(with("\"seed\": 1", "\"seed\": " + std::string(100'000, '[') + std::string(100'000, ']')), "\"seed\" is nested deeper than 32 levels");
    expect_refused(with("\"seed\": 1", "\"seed\": true"), "seed");
    expect_refused("[]", "must be an object");
    expect_refused(with("\"seed\"", "\"sead\""), "seed");
    expect_refused(with("\"seed\": 1", "\"seed\": 1, \"colour\": 3"), "\"colour\" is not a known key");
    expect_refused(with("{\"kind\": \"ct\"}", "{\"kind\": \"ct\", \"echo_time_ms\": 12}"), "\"timepoints[0].series[0].echo_time_ms\" is not a known key");
    expect_refused(with("\"kind\": \"ct\"", "\"kind\": \"pet\""), "timepoints[0].series[0].kind");
    expect_refused(with("\"width_mm\": 4", "\"width_mm\": \"4\""), "\"eyes.right.elements[0].width_mm\" must be a number");
    expect_refused(with("\"width_mm\": 4", "\"width_mm\": -4"), "eyes.right.elements[0].width_mm");
    expect_refused(with("\"width_mm\": 4,", ""), "\"eyes.right.elements[0].width_mm\" is missing");
    expect_refused(with("\"limbus_mm\": 12, \"width_mm\": 4", "\"limbus_mm\": 3, \"width_mm\": 8"), "eyes.right.elements[0].limbus_mm");
    expect_refused(with("2010-01-31", "31.1.2010"), "study_date");
    expect_refused(with("[{\"kind\": \"ct\"}]", "[]"), "timepoints[0].series");
    expect_refused(with("\"kind\": \"ct\"}", "\"kind\": \"ct\", \"pose_deg\": [1, 2]}"), "pose_deg");
    expect_refused(with("\"right\"", "\"middle\""), "eyes.middle");
    expect_refused(with("\"kind\": \"ct\"}", R"("kind": "ct", "beam_hardening": 1.5})"), "timepoints[0].series[0].beam_hardening");
    expect_refused(with("\"kind\": \"ct\"}", R"("kind": "ct", "scale": "wide"})"), "must be one of usual, extended");
    expect_refused(with("\"kind\": \"ct\"}", R"("kind": "ct", "kernel": "blunt"})"), "timepoints[0].series[0].kernel");
    const auto tilted = [](const std::string& rest) { return with("\"kind\": \"ct\"}", "\"kind\": " + rest + "}"); };
    EXPECT_EQ(parse_scenario(tilted(R"("ct", "gantry_tilt_deg": -16.5)")).value().timepoints.at(0).series.at(0).gantry_tilt_deg, -16.5);
    expect_refused(tilted(R"("ct", "gantry_tilt_deg": 31)"), "timepoints[0].series[0].gantry_tilt_deg");
    expect_refused(tilted(R"("ct", "gantry_tilt_deg": "10")"), "\"timepoints[0].series[0].gantry_tilt_deg\" must be a number");
    expect_refused(tilted(R"("ct", "gantry_tilt_deg": 10, "plane": "coronal")"), "gantry_tilt_deg");
    expect_refused(tilted(R"("ct", "gantry_tilt_deg": 10, "tilt_deg": [5, 0])"), "gantry_tilt_deg");
    expect_refused(tilted(R"("t1", "gantry_tilt_deg": 10)"), "\"timepoints[0].series[0].gantry_tilt_deg\" is not a known key");
}

TEST(Scenario, settings_of_an_mr_series_are_read_and_must_fit_together) {
    const auto series = [](const std::string& rest) { return with("\"kind\": \"ct\"}", "\"kind\": " + rest + "}"); };
    const auto setting = [&](const std::string& rest) {
        const auto scenario = parse_scenario(series(rest));
        EXPECT_TRUE(scenario) << rest << ": " << (scenario ? "" : scenario.error().what);
        return scenario.value().timepoints.at(0).series.at(0).mr;
    };
    EXPECT_EQ(setting(R"("t1")").bandwidth_hz, 225.0);
    EXPECT_EQ(setting(R"("t1", "field_strength_tesla": 3)").bandwidth_hz, 450.0);
    EXPECT_EQ(setting(R"("t1", "bandwidth_hz": 0)").bandwidth_hz, 0.0);
    EXPECT_EQ(setting(R"("t1", "echo_time_ms": 9)").train_ms(), 9.0);
    EXPECT_EQ(setting(R"("t2", "train_length": 8, "train_spacing_ms": 12)").train_ms(), 96.0);
    EXPECT_EQ(setting(R"("t1_gradient_echo", "flip_angle_deg": 30)").flip_angle_deg, 30.0);
    EXPECT_TRUE(setting(R"("t1_contrast_fatsat")").fat_saturated && setting(R"("t1_contrast_fatsat")").with_contrast_agent);
    EXPECT_EQ(setting(R"("t2", "phase_along": "column")").phase_along, PhaseAlong::column);
    expect_refused(series(R"("t1", "flip_angle_deg": 30)"), "flip_angle_deg\" is not a known key");
    expect_refused(series(R"("t1", "train_length": 3)"), "train_length\" is not a known key");
    expect_refused(series(R"("t2", "inversion_time_ms": 160)"), "inversion_time_ms\" is not a known key");
    expect_refused(series(R"("ct", "bandwidth_hz": 200)"), "bandwidth_hz\" is not a known key");
    expect_refused(series(R"("t1", "bandwidth_hz": 5)"), "bandwidth_hz");
    expect_refused(series(R"("t1", "repetition_time_ms": 10, "echo_time_ms": 12)"), "echo_time_ms");
    expect_refused(series(R"("t2", "repetition_time_ms": 140)"), "repetition_time_ms");
    expect_refused(series(R"("t1_prepared", "inversion_time_ms": 300)"), "repetition_time_ms");
    expect_refused(series(R"("t1", "zero_filling": 0.5)"), "zero_filling");
    expect_refused(series(R"("t1", "phase_along": "slice")"), "phase_along");
}

TEST(Scenario, later_dates_inherit_the_eyes_and_may_change_them) {
    const auto scenario = parse_scenario(with("\"series\": [{\"kind\": \"ct\"}]}", R"("series": [{"kind": "ct"}]},
        {"study_date": "2012-01-01", "series": [{"kind": "t1"}]},
        {"study_date": "2014-01-01", "eyes": {"right": {"elements": []}}, "series": [{"kind": "t2"}]})"));
    ASSERT_TRUE(scenario) << scenario.error().what;
    const auto& t = scenario.value().timepoints;
    EXPECT_EQ(t.at(1).eyes[0].elements.size(), 1u);
    EXPECT_TRUE(t.at(2).eyes[0].elements.empty());
    expect_refused(with("\"series\": [{\"kind\": \"ct\"}]}", R"("series": [{"kind": "ct"}]}, {"study_date": "2009-01-01", "series": [{"kind": "t1"}]})"), "timepoints[1].study_date");
}

TEST(Scenario, every_scenario_shipped_is_accepted) {
    const std::filesystem::path folder = std::filesystem::path(PERISCLERA_SOURCE_DIR) / "phantoms";
    std::vector<std::filesystem::path> files{folder / "demo_scenario.json"};
    for (const auto& entry : std::filesystem::directory_iterator(folder / "scenarios")) files.push_back(entry.path());
    EXPECT_GE(files.size(), 7u);
    for (const auto& file : files) {
        std::ostringstream text;
        text << std::ifstream(file).rdbuf();
        const auto scenario = parse_scenario(text.str());
        EXPECT_TRUE(scenario) << file << ": " << (scenario ? "" : scenario.error().what);
    }
}

}  // namespace
}  // namespace perisclera::phantoms
