// SPDX-License-Identifier: Apache-2.0
// phantoms/scenario.schema.json against the parser and against the table of phantoms/README.md. The schema is read by Debian's python3-jsonschema
// (JSON Schema 2020-12), so that three independent statements of the same keys, types, ranges and defaults have to agree.
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <regex>
#include <set>
#include <string>
#include <vector>

#include "phantoms/scenario.h"
#include "tests/support/child_process.h"
#include "tests/support/test_folder.h"

namespace perisclera::phantoms {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;

const fs::path folder = fs::path(PERISCLERA_SOURCE_DIR) / "phantoms";

const json& schema() {
    static const json read = json::parse(test::read_bytes(folder / "scenario.schema.json"));
    return read;
}

/// What the schema says of each scenario: see tests/phantoms/check_scenarios.py.
json checked_by_schema(const std::vector<json>& scenarios) {
    const test::TestFolder scratch;
    test::write_bytes(scratch.path() / "scenarios.json", json(scenarios).dump());
    const test::Ended ended = test::run_child({"/usr/bin/python3", std::string(PERISCLERA_SOURCE_DIR) + "/tests/phantoms/check_scenarios.py",
                                               (folder / "scenario.schema.json").string(), (scratch.path() / "scenarios.json").string()});
    EXPECT_EQ(ended.status, 0) << ended.error_text;
    return json::parse(ended.output_text);
}

/// What the parser says; empty where it accepts.
std::string refusal(const json& scenario) {
    const auto parsed = parse_scenario(scenario.dump());
    return parsed ? "" : parsed.error().what;
}

/// Between them they have every key of a scenario, of an eye, of an element and of each kind of series.
std::vector<json> rich_scenarios() {
    const json base = json::parse(R"({"seed": 5, "texture": 1, "patient": {"id": "A", "sex": "F", "birth_year": 1950},
        "timepoints": [{"study_date": "2010-01-31", "series": [{"bandwidth_hz": 300, "slice_spacing_mm": 2, "gaze_deg": {"right": [1, 2], "left": [3, 4]}}]}]})");
    std::vector<json> all;
    for (const json& kind : schema()["$defs"]["series"]["properties"]["kind"]["enum"]) {
        json scenario = base;
        json& series = scenario["timepoints"][0]["series"][0];
        series["kind"] = kind;
        if (kind == "ct") {
            series.erase("bandwidth_hz");
            scenario["anatomy"] = {{"seed", 3}, {"right", "long"}, {"left", "usual"}};
            scenario["timepoints"][0]["eyes"] = {{"left", {{"lens", "implant"}}}};
            scenario["eyes"] = json::parse(R"({
                "right": {"globe_radius_mm": 12, "axial_length_mm": 25, "contents": "gas", "lens": "none", "offset_mm": [0, 1, 2], "elements": [
                    {"material": "hydrogel", "form": "irregular", "from_hour": 1, "to_hour": 3, "limbus_mm": 12, "width_mm": 6, "thickness_mm": 4, "water_fraction": 0.9,
                     "fragments": 2, "capsule_mm": 0.5},
                    {"material": "solid_silicone", "form": "encircling", "limbus_mm": 12, "width_mm": 20, "thickness_mm": 15, "groove": {"width_mm": 2, "depth_mm": 1},
                     "overlap": {"hour": 5, "length_mm": 6}, "raised": {"from_hour": 2, "to_hour": 4, "height_mm": 1}}]},
                "left": {"elements": [
                    {"material": "silicone_sponge", "form": "radial", "hour": 4, "length_mm": 6, "limbus_mm": 12, "width_mm": 4, "thickness_mm": 4},
                    {"material": "titanium", "form": "segmental", "from_hour": 4, "to_hour": 5, "limbus_mm": 12, "width_mm": 3, "thickness_mm": 1}]}})");
        }
        all.push_back(scenario);
    }
    return all;
}

/// JSON pointers of every value, containers included, the outermost left out.
void pointers_in(const json& value, const std::string& at, std::vector<std::string>& all) {
    if (!at.empty()) all.push_back(at);
    if (value.is_object())
        for (const auto& [key, entry] : value.items()) pointers_in(entry, at + "/" + key, all);
    else if (value.is_array())
        for (std::size_t i = 0; i < value.size(); ++i) pointers_in(value[i], at + "/" + std::to_string(i), all);
}

struct Variant {
    std::string about;
    json scenario;
    enum class Expected { sound, wrong, alike } expected;  ///< by both; alike: what one refuses for its form, so does the other
};

json with(json scenario, const std::string& at, const json& value) {
    scenario[json::json_pointer(at)] = value;
    return scenario;
}

/// Each value below `within` in turn of a wrong type, out of range, at the ends of its range, missing; each object with a key that nobody knows.
void vary(const json& base, const json& ranges, const std::string& within, std::vector<Variant>& all) {
    using enum Variant::Expected;
    std::vector<std::string> pointers{""};
    pointers_in(base, "", pointers);
    for (const std::string& at : pointers) {
        if (!at.starts_with(within)) continue;
        const json& value = base[json::json_pointer(at)];
        if (value.is_object()) all.push_back({at + " with an unknown key", with(base, at + "/colour", 3), wrong});
        if (value.is_array()) {
            json longer = base;
            longer[json::json_pointer(at)].push_back(value.front());
            all.push_back({at + " with one more", longer, alike});
            all.push_back({at + " empty", with(base, at, json::array()), alike});
        }
        if (at.empty()) continue;
        for (const json& other : {json(true), json(nullptr), value.is_string() ? json(3) : json("square")})
            all.push_back({at + " is " + other.dump(), with(base, at, other), wrong});
        if (value.is_string()) all.push_back({at + " is a\\b", with(base, at, "a\\b"), wrong});
        const json::json_pointer pointer(at);
        if (base[pointer.parent_pointer()].is_object()) {
            json without = base;
            without[pointer.parent_pointer()].erase(pointer.back());
            all.push_back({at + " is missing", without, alike});
        }
    }
    for (const json& range : ranges) {
        const std::string at = range["at"];
        if (!at.starts_with(within)) continue;
        const bool whole = range["whole"];
        const auto number = [&](double value) { return whole ? json(static_cast<long long>(value)) : json(value); };
        const double least = range["least"], greatest = range["greatest"], step = whole ? 1.0 : 1e-6;
        for (const double value : {least, greatest}) all.push_back({at + " at " + number(value).dump(), with(base, at, number(value)), alike});
        for (const double value : {least - step, greatest + step}) all.push_back({at + " at " + number(value).dump(), with(base, at, number(value)), wrong});
        if (whole) all.push_back({at + " with a fraction", with(base, at, least + 0.5), wrong});
    }
}

/// Each element as of each other form and material, and with the keys of the others; a series of each other kind.
void mix(const json& base, const std::vector<json>& kinds, std::vector<Variant>& all) {
    using enum Variant::Expected;
    const std::string series_at = "/timepoints/0/series/0/";
    for (const json& kind : kinds) all.push_back({"as " + kind.dump(), with(base, series_at + "kind", kind), alike});
    for (const std::string plane : {"coronal", "sagittal"}) all.push_back({"in " + plane + " planes", with(base, series_at + "plane", plane), sound});
    if (!base.contains("eyes")) return;
    all.push_back({"leaning", with(base, series_at + "gantry_tilt_deg", 10), sound});
    for (const auto& [key, value] : {std::pair<const char*, json>{"plane", "coronal"}, {"tilt_deg", {0, 5}}})
        all.push_back({"leaning in another plane", with(with(base, series_at + "gantry_tilt_deg", 10), series_at + key, value), wrong});
    const json elements = schema()["$defs"]["element"]["properties"];
    std::vector<std::string> places{"/eyes/right/elements/0", "/eyes/right/elements/1", "/eyes/left/elements/0", "/eyes/left/elements/1"};
    for (const std::string& at : places) {
        for (const char* key : {"material", "form", "section"})
            for (const json& word : elements[key]["enum"]) all.push_back({at + " of " + word.dump(), with(base, at + "/" + key, word), alike});
        for (const std::string& other : places)
            for (const auto& [key, value] : base[json::json_pointer(other)].items())
                all.push_back({at + " with " + key + " of " + other, with(base, at + "/" + key, value), alike});
    }
}

/// Refusals for how values fit together, which the schema's description leaves to the program.
bool beyond_a_schema(const std::string& refusal) {
    static const std::regex fits(R"x(must differ from from_hour|puts the element's edge|must be later|must be less than repetition|has no room)x"
                                 R"x(|must be 0 or at least 20 a tesla|(axial_length_mm|indentation_mm|groove\.\w+)" must lie between)x");
    return std::regex_search(refusal, fits);
}

TEST(ScenarioSchema, every_scenario_shipped_is_valid) {
    std::vector<json> scenarios{json::parse(test::read_bytes(folder / "demo_scenario.json"))};
    for (const auto& entry : fs::directory_iterator(folder / "scenarios")) scenarios.push_back(json::parse(test::read_bytes(entry.path())));
    ASSERT_GE(scenarios.size(), 8u);
    for (const json& answer : checked_by_schema(scenarios)) EXPECT_EQ(answer["error"], "");
}

TEST(ScenarioSchema, stated_defaults_are_those_of_the_parser) {
    const auto plain = rich_scenarios();
    ASSERT_EQ(plain.size(), 13u);
    const json answers = checked_by_schema(plain);
    for (std::size_t i = 0; i < plain.size(); ++i) {
        ASSERT_EQ(answers[i]["error"], "");
        ASSERT_EQ(refusal(answers[i]["filled"]), "");
        const Scenario a = parse_scenario(plain[i].dump()).value(), b = parse_scenario(answers[i]["filled"].dump()).value();
        EXPECT_EQ(a.texture, b.texture);
        EXPECT_EQ(a.patient_sex, b.patient_sex);
        EXPECT_TRUE(a.timepoints[0].series == b.timepoints[0].series) << answers[i]["filled"];
        for (std::size_t e = 0; e < 2; ++e) EXPECT_TRUE(a.timepoints[0].eyes[e].elements == b.timepoints[0].eyes[e].elements);
        // Fewer than half of a series' keys stand in the plain scenario: the comparison is not with itself.
        EXPECT_GT(answers[i]["filled"]["timepoints"][0]["series"][0].size(), plain[i]["timepoints"][0]["series"][0].size() + 8);
    }
}

TEST(ScenarioSchema, schema_and_parser_refuse_the_same) {
    std::vector<Variant> variants;
    const json kinds = schema()["$defs"]["series"]["properties"]["kind"]["enum"];
    for (const json& answer : checked_by_schema(rich_scenarios())) {
        vary(answer["filled"], answer["ranges"], answer["filled"].contains("eyes") ? "" : "/timepoints/0/series/0", variants);
        mix(answer["filled"], kinds, variants);
    }
    std::vector<json> scenarios;
    for (const Variant& v : variants) scenarios.push_back(v.scenario);
    const json answers = checked_by_schema(scenarios);
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
    EXPECT_GT(refused, 1000);
    RecordProperty("variants", static_cast<int>(variants.size()));
}

std::set<std::string> keys_of(const json& object) {
    std::set<std::string> keys;
    for (const auto& [key, value] : object.items()) keys.insert(key);
    return keys;
}

/// Every key that a schema, or a part of it, gives a meaning to, and every word that is one of a choice.
void collect(const json& part, std::set<std::string>& keys, std::set<std::string>& words) {
    if (part.is_array())
        for (const json& entry : part) collect(entry, keys, words);
    if (!part.is_object()) return;
    for (const auto& [name, value] : part.items()) {
        if (name == "properties") keys.merge(keys_of(value));
        if (name == "enum")
            for (const json& word : value) words.insert(word);
        collect(value, keys, words);
    }
}

std::set<std::string> quoted_in(const std::string& text) {
    static const std::regex quoted("`([a-zA-Z0-9_]+)`");
    std::set<std::string> all;
    for (std::sregex_iterator m(text.begin(), text.end(), quoted), end; m != end; ++m) all.insert((*m)[1]);
    return all;
}

/// The table under "| key<of> |": by its first cell, the rest of each row.
std::vector<std::pair<std::string, std::string>> table(const std::string& of) {
    std::ifstream readme(folder / "README.md");
    std::vector<std::pair<std::string, std::string>> rows;
    bool inside = false;
    for (std::string line; std::getline(readme, line);) {
        if (line.starts_with("| key" + of + " |")) inside = true;
        else if (inside && line.empty()) break;
        else if (const auto cell = line.find('|', 1); inside && line.starts_with("| `")) rows.emplace_back(line.substr(0, cell), line.substr(cell));
    }
    return rows;
}

TEST(ScenarioSchema, has_the_keys_and_words_of_the_readme_and_no_others) {
    const json& all = schema();
    std::set<std::string> every_key, every_word;
    collect(all, every_key, every_word);
    const std::vector<std::pair<std::string, json>> tables{{"", all["properties"]}, {" of an EYE", all["$defs"]["eye"]["properties"]},
                                                           {" of an ELEMENT", all["$defs"]["element"]["properties"]},
                                                           {" of a SERIES", all["$defs"]["series"]["properties"]}};
    for (const auto& [of, properties] : tables) {
        std::set<std::string> named;
        for (const auto& [first, rest] : table(of)) {
            for (const std::string& key : quoted_in(first)) {
                named.insert(key);
                if (!properties.contains(key)) continue;
                std::set<std::string> inner, words;
                json own = properties[key];
                if (own.contains("$ref") && own["$ref"] == "#/$defs/eyes") own = all["$defs"]["eyes"];
                collect(own, inner, words);
                for (const std::string& name : inner) EXPECT_TRUE(quoted_in(rest).contains(name)) << key << " has a key " << name << " that the README does not name";
                for (const std::string& word : words) EXPECT_TRUE(std::regex_search(first + rest, std::regex("\\b" + word + "\\b"))) << key << " may be " << word;
            }
            for (const std::string& name : quoted_in(rest)) EXPECT_TRUE(every_key.contains(name) || every_word.contains(name)) << name << " is in no schema";
        }
        EXPECT_EQ(named, keys_of(properties)) << "table of keys" << of;
    }
}

// What asks a CheckedObject for a key names it in words, but for the sides.
TEST(ScenarioSchema, has_the_keys_that_the_parser_reads) {
    const std::string source = test::read_bytes(folder / "scenario.cpp");
    static const std::regex asked(R"((?:number|whole|text|numbers<\d>|choice(?:<\w+>)?|object|list|part)\("([a-z0-9_]+)\")");
    std::set<std::string> read{"right", "left"}, keys, words;
    for (std::sregex_iterator m(source.begin(), source.end(), asked), end; m != end; ++m) read.insert((*m)[1]);
    collect(schema(), keys, words);
    EXPECT_EQ(read, keys);
}

}  // namespace
}  // namespace perisclera::phantoms
