// SPDX-License-Identifier: Apache-2.0
// The outside truth: docs/report.schema.json as read by Debian's python3-jsonschema, and IEEE and DICOM facts named below.
#include "perisclera/report/json.h"

#include <gtest/gtest.h>

#include <limits>
#include <locale>
#include <nlohmann/json.hpp>
#include <set>

#include "tests/report/example_report.h"
#include "tests/report/outside_check.h"

namespace perisclera::report {
namespace {

using Json = nlohmann::json;

const std::string schema_path = std::string(PERISCLERA_SOURCE_DIR) + "/docs/report.schema.json";

int validate(const std::string& report) { return outside::run("validate_report.py", schema_path + " " + outside::written("report.json", report).string()); }

constexpr int valid = 0, not_valid = 1;

TEST(ReportJson, full_report_satisfies_the_schema) { EXPECT_EQ(validate(to_json(example::full())), valid); }
TEST(ReportJson, undetermined_report_satisfies_the_schema) { EXPECT_EQ(validate(to_json(example::undetermined())), valid); }
TEST(ReportJson, minimal_report_satisfies_the_schema) { EXPECT_EQ(validate(to_json(example::minimal())), valid); }
TEST(ReportJson, report_in_which_nothing_was_measured_satisfies_the_schema) { EXPECT_EQ(validate(to_json(example::unmeasured())), valid); }
TEST(ReportJson, report_without_a_visit_satisfies_the_schema) { EXPECT_EQ(validate(to_json(ReportModel{})), valid); }

/// Changes one place of a valid report and expects the outside validator to refuse it.
void expect_refused(const std::function<void(Json&)>& damage) {
    Json report = Json::parse(to_json(example::full()));
    damage(report);
    EXPECT_EQ(validate(report.dump()), not_valid);
}

Json& first_element(Json& report) { return report["timepoints"][0]["eyes"]["right"]["elements"][0]; }

TEST(ReportJson, schema_refuses_a_renamed_member) {
    expect_refused([](Json& r) {
        auto& e = first_element(r);
        e["volume"] = e["volume_mm3"];
        e.erase("volume_mm3");
    });
}
TEST(ReportJson, schema_refuses_an_unknown_word) {
    expect_refused([](Json& r) { first_element(r)["material"]["label"] = "rubber"; });
}
TEST(ReportJson, schema_refuses_a_value_without_interval) {
    expect_refused([](Json& r) { first_element(r)["volume_mm3"] = Json{{"value", 590}}; });
}
TEST(ReportJson, schema_refuses_a_null_without_reason) {
    expect_refused([](Json& r) { first_element(r)["volume_mm3"] = Json{{"value", nullptr}}; });
}
TEST(ReportJson, schema_refuses_a_clock_hour_of_twelve) {
    expect_refused([](Json& r) { first_element(r)["largest_section"]["clock_hour"] = 12; });
}
TEST(ReportJson, a_level_names_what_lies_above_and_below) {
    ReportModel m = example::full();
    m.timepoints[0].right.globe.contents = GlobeContents::mixed;
    m.timepoints[0].right.globe.level = FluidLevel{{Fluid::gas}, {Fluid::vitreous, Fluid::haemorrhage}, Measured<Fraction>(Fraction(0.25), Fraction(0.15), Fraction(0.35)), Measured<Mm>(Mm(15.0), Mm(14.0), Mm(16.0))};
    const std::string text = to_json(m);
    EXPECT_EQ(validate(text), valid);
    const Json globe = Json::parse(text)["timepoints"][0]["eyes"]["right"]["globe"];
    EXPECT_EQ(globe["level"], Json::parse(R"({"above": ["gas"], "below": ["vitreous", "haemorrhage"], "share_above": {"value": 0.25, "ci95": [0.15, 0.35]}, "height_mm": {"value": 15.0, "ci95": [14.0, 16.0]}})"));
    EXPECT_TRUE(Json::parse(text)["timepoints"][0]["eyes"]["left"]["globe"]["level"].is_null());
}

TEST(ReportJson, schema_refuses_a_level_of_unknown_fluids) {
    expect_refused([](Json& r) { r["timepoints"][0]["eyes"]["left"]["globe"]["level"] = Json::parse(R"({"above": ["water"], "below": [], "share_above": {"value": null, "why": "x"}, "height_mm": {"value": null, "why": "x"}})"); });
}

TEST(ReportJson, schema_refuses_a_found_globe_without_its_place) {
    expect_refused([](Json& r) { r["timepoints"][0]["eyes"]["left"]["globe"]["centre_lps_mm"] = nullptr; });
}
TEST(ReportJson, schema_refuses_a_probability_for_an_unknown_material) {
    expect_refused([](Json& r) { first_element(r)["material"]["probabilities"]["rubber"] = 0.1; });
}

TEST(ReportJson, numbers_that_are_not_finite_become_unmeasured) {
    ReportModel m = example::full();
    constexpr double infinity = std::numeric_limits<double>::infinity();
    m.timepoints[0].right.elements[0].volume = Measured<Mm3>(Mm3(1), Mm3(-infinity), Mm3(infinity));
    m.timepoints[0].right.elements[0].from = Measured<ClockHours>(ClockHours(1), ClockHours(-infinity), ClockHours(2));
    m.timepoints[0].right.elements[0].material.evidence[0].log_likelihood[Material::hydrogel] = std::numeric_limits<double>::quiet_NaN();
    const std::string text = to_json(m);
    EXPECT_EQ(validate(text), valid);
    EXPECT_TRUE(Json::parse(text)["timepoints"][0]["eyes"]["right"]["elements"][0]["volume_mm3"]["value"].is_null());
}

TEST(ReportJson, clock_positions_lie_in_the_dial_and_their_bounds_stay_in_order) {
    ReportModel m = example::full();
    auto& e = m.timepoints[0].right.elements[0];
    // 11.998 rounds to 12.00, which the dial writes 0; 25.5 hours are 1.5 on the dial (arithmetic modulo 12).
    e.from = Measured<ClockHours>(ClockHours(11.998), ClockHours(11.7), ClockHours(12.3));
    e.to = Measured<ClockHours>(ClockHours(25.5), ClockHours(25.0), ClockHours(26.0));
    const Json hours = Json::parse(to_json(m))["timepoints"][0]["eyes"]["right"]["elements"][0]["clock_hours"];
    EXPECT_EQ(hours["from"]["value"], 0.0);
    EXPECT_EQ(hours["from"]["ci95"], (Json{-0.3, 0.3}));
    EXPECT_EQ(hours["to"]["value"], 1.5);
    EXPECT_EQ(hours["to"]["ci95"], (Json{1.0, 2.0}));
}

TEST(ReportJson, zero_is_never_negative) {
    ReportModel m = example::full();
    m.changes[0].volume = Measured<Percent>(Percent(-0.01), Percent(-0.02), Percent(0.0));
    EXPECT_EQ(to_json(m).find("-0.0,"), std::string::npos);
    EXPECT_EQ(to_json(m).find("-0.0\n"), std::string::npos);
}

struct CommaForPoint : std::numpunct<char> {
    char do_decimal_point() const override { return ','; }
    char do_thousands_sep() const override { return '.'; }
    std::string do_grouping() const override { return "\3"; }
};

TEST(ReportJson, bytes_do_not_depend_on_the_locale) {
    const std::string before = to_json(example::full());
    const std::locale old = std::locale::global(std::locale(std::locale::classic(), new CommaForPoint));
    const std::string after = to_json(example::full());
    std::locale::global(old);
    EXPECT_EQ(before, after);
    EXPECT_NE(before.find("590.0"), std::string::npos);
}

TEST(ReportJson, text_that_is_not_utf8_is_repaired) {
    ReportModel m = example::full();
    m.warnings.push_back({ErrorCode::bad_value, "an odd byte \xff", "series 1", ""});
    const std::string text = to_json(m);
    EXPECT_EQ(validate(text), valid);  // the validator reads strict UTF-8
}

/// The words of an enumeration as the schema lists them, against name() of every enumerator up to `last`.
template <class Term>
void expect_same_words(const Json& in_schema, Term last) {
    std::set<std::string> words, ours;
    for (const auto& w : in_schema["enum"]) words.insert(w.get<std::string>());
    for (int i = 0; i <= static_cast<int>(last); ++i) ours.insert(std::string(name(static_cast<Term>(i))));
    EXPECT_EQ(words, ours);
}

TEST(ReportJson, closed_sets_have_exactly_the_words_of_the_schema) {
    const Json d = Json::parse(outside::read_back(schema_path))["$defs"];
    const auto of = [&](const char* def, const char* member) { return d[def]["properties"][member]; };
    expect_same_words(of("globe", "status"), GlobeStatus::not_imaged);
    expect_same_words(of("globe", "contents"), GlobeContents::undetermined);
    expect_same_words(of("globe", "lens"), Lens::undetermined);
    expect_same_words(of("muscle", "name"), MuscleName::lateral);
    expect_same_words(of("muscle", "continuity"), Continuity::not_determinable);
    expect_same_words(of("muscle", "elements")["items"]["properties"]["relation"], MuscleRelation::not_determinable);
    expect_same_words(d["sign"], Sign::not_assessable);
    expect_same_words(of("eye", "metal")["properties"]["status"], MetalStatus::not_assessable);
    expect_same_words(of("eye", "explant")["properties"]["presence"], Presence::uncertain);
    expect_same_words(of("element", "form"), Form::irregular);
    expect_same_words(of("element", "wall_relation"), WallRelation::not_determinable);
    expect_same_words(of("element", "junction")["properties"]["kind"], JunctionKind::not_seen);
    expect_same_words(d["feature"], Feature::undetermined);
    expect_same_words(d["material"], Material::other);
    expect_same_words(of("material_opinion", "most_informative_next"), NextStudy::none);
    expect_same_words(of("material_opinion", "cautions")["items"]["properties"]["code"], MaterialCaution::growth_without_water);
    expect_same_words(of("change", "verdict"), Verdict::not_comparable);
    expect_same_words(of("consideration", "basis"), Basis::common_practice);
    expect_same_words(d["role"], SeriesRole::unknown);
}

}  // namespace
}  // namespace perisclera::report
