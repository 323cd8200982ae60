// SPDX-License-Identifier: Apache-2.0
#include "tests/phantoms/scenario_variants.h"

#include <gtest/gtest.h>

#include <set>

#include "tests/support/child_process.h"
#include "tests/support/test_folder.h"

namespace perisclera::test {

namespace fs = std::filesystem;
using nlohmann::json;
using enum Variant::Expected;

namespace {

json plain_scenario() {
    return json::parse(R"({"seed": 5, "texture": 1, "patient": {"id": "A", "sex": "F", "birth_year": 1950},
        "timepoints": [{"study_date": "2010-01-31", "series": [{"bandwidth_hz": 300, "slice_spacing_mm": 2, "gaze_deg": {"right": [1, 2], "left": [3, 4]}}]}]})");
}

/// JSON pointers of every value, containers included, the outermost left out.
void pointers_in(const json& value, const std::string& at, std::vector<std::string>& all) {
    if (!at.empty()) all.push_back(at);
    if (value.is_object())
        for (const auto& [key, entry] : value.items()) pointers_in(entry, at + "/" + key, all);
    else if (value.is_array())
        for (std::size_t i = 0; i < value.size(); ++i) pointers_in(value[i], at + "/" + std::to_string(i), all);
}

/// JSON pointers of the entries of both eyes' `list` as the scenario first states them.
std::vector<std::string> places_of(const json& base, const std::string& list) {
    std::vector<std::string> places;
    for (const auto& [side, eye] : base["eyes"].items())
        if (eye.contains(list))
            for (std::size_t i = 0; i < eye[list].size(); ++i) places.push_back("/eyes/" + side + "/" + list + "/" + std::to_string(i));
    return places;
}

/// The entry at each place with every key of the others.
void exchange_keys(const json& base, const std::vector<std::string>& places, std::vector<Variant>& all) {
    for (const std::string& at : places) {
        std::set<json> met{base};
        for (const std::string& other : places)
            for (const auto& [key, value] : base[json::json_pointer(other)].items())
                if (const json changed = with(base, at + "/" + key, value); met.insert(changed).second) all.push_back({at + " with " + key + " of " + other, changed, alike});
    }
}

}  // namespace

fs::path phantoms_folder() { return fs::path(PERISCLERA_SOURCE_DIR) / "phantoms"; }

const json& scenario_schema() {
    static const json read = json::parse(read_bytes(phantoms_folder() / "scenario.schema.json"));
    return read;
}

json checked_by_schema(const std::vector<json>& scenarios, Told told) {
    const TestFolder scratch;
    write_bytes(scratch.path() / "scenarios.json", json(scenarios).dump());
    std::vector<std::string> command{"/usr/bin/python3", std::string(PERISCLERA_SOURCE_DIR) + "/tests/phantoms/check_scenarios.py",
                                     (phantoms_folder() / "scenario.schema.json").string(), (scratch.path() / "scenarios.json").string()};
    if (told == Told::errors) command.emplace_back("--errors");
    const Ended ended = run_child(command);
    EXPECT_EQ(ended.status, 0) << ended.error_text;
    return json::parse(ended.output_text);
}

std::vector<json> rich_scenarios() {
    std::vector<json> all;
    for (const json& kind : scenario_schema()["$defs"]["series"]["properties"]["kind"]["enum"]) {
        json scenario = plain_scenario();
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

std::vector<json> look_alike_scenarios() {
    json on_globes = plain_scenario();
    on_globes["timepoints"][0]["series"] = {{{"kind", "ct"}}};
    json without_globes = on_globes;
    on_globes["eyes"] = json::parse(R"({
        "right": {"contents": "silicone_oil",
            "elements": [{"material": "silicone_sponge", "form": "radial", "hour": 4, "length_mm": 6, "limbus_mm": 12, "width_mm": 4, "thickness_mm": 4}],
            "look_alikes": [{"kind": "perfluorocarbon_drop", "diameter_mm": 2}, {"kind": "oil_pocket", "hour": 3, "limbus_mm": 9}, {"kind": "scleral_plaque", "muscle": "lateral"},
                {"kind": "drainage_device"}, {"kind": "cyst", "hour": 8, "limbus_mm": 8}, {"kind": "fracture_plate", "material": "titanium", "wall": "medial"},
                {"kind": "eyelid_weight"}, {"kind": "abscess"}]},
        "left": {"contents": "haemorrhage", "contents_share": 0.3,
            "look_alikes": [{"kind": "wood_splinter", "hour": 5, "limbus_mm": 14, "length_mm": 12, "diameter_mm": 3}, {"kind": "enlarged_gland", "factor": 1.4},
                {"kind": "thickened_muscles", "factor": 1.5}, {"kind": "fracture_plate", "material": "polyethylene"}, {"kind": "drainage_device", "hour": 11}]}})");
    on_globes["timepoints"][0]["eyes"] = json::parse(R"({"right": {"contents_share": 0.5}, "left": {"contents": "perfluorocarbon", "contents_share": 0.1}})");
    without_globes["eyes"] = json::parse(R"({"right": {"look_alikes": [{"kind": "orbital_sphere", "material": "hydroxyapatite"}, {"kind": "enlarged_gland", "factor": 1.4}]},
                                             "left": {"look_alikes": [{"kind": "empty_socket"}]}})");
    without_globes["timepoints"][0]["eyes"] = json::parse(R"({"right": {"look_alikes": [{"kind": "empty_socket"}]}})");
    return {on_globes, without_globes};
}

json with(json scenario, const std::string& at, const json& value) {
    scenario[json::json_pointer(at)] = value;
    return scenario;
}

void vary(const json& base, const json& ranges, const std::string& within, std::vector<Variant>& all) {
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

void mix(const json& base, std::vector<Variant>& all) {
    const std::string series_at = "/timepoints/0/series/0/";
    for (const json& kind : scenario_schema()["$defs"]["series"]["properties"]["kind"]["enum"]) all.push_back({"as " + kind.dump(), with(base, series_at + "kind", kind), alike});
    for (const std::string plane : {"coronal", "sagittal"}) all.push_back({"in " + plane + " planes", with(base, series_at + "plane", plane), sound});
    if (!base.contains("eyes")) return;
    all.push_back({"leaning", with(base, series_at + "gantry_tilt_deg", 10), sound});
    for (const auto& [key, value] : {std::pair<const char*, json>{"plane", "coronal"}, {"tilt_deg", {0, 5}}})
        all.push_back({"leaning in another plane", with(with(base, series_at + "gantry_tilt_deg", 10), series_at + key, value), wrong});
    const json elements = scenario_schema()["$defs"]["element"]["properties"];
    const auto places = places_of(base, "elements");
    for (const std::string& at : places)
        for (const char* key : {"material", "form", "section"})
            for (const json& word : elements[key]["enum"]) all.push_back({at + " of " + word.dump(), with(base, at + "/" + key, word), alike});
    exchange_keys(base, places, all);
}

void mix_look_alikes(const json& base, std::vector<Variant>& all) {
    const auto places = places_of(base, "look_alikes");
    exchange_keys(base, places, all);  // the kind is one of them
    for (const std::string& at : places)
        for (const json& scenario : look_alike_scenarios())
            for (const std::string& other : places_of(scenario, "look_alikes")) {
                const json& taken = scenario[json::json_pointer(other)];
                all.push_back({at + " replaced by " + taken["kind"].dump(), with(base, at, taken), alike});
            }
    for (const std::string side : {"right", "left"})
        for (const json& contents : scenario_schema()["$defs"]["eye"]["properties"]["contents"]["enum"])
            for (const std::string at : {"/eyes/", "/timepoints/0/eyes/"}) {
                const json only = with(base, at + side + "/contents", contents);
                all.push_back({at + side + " with " + contents.dump(), only, alike});
                all.push_back({at + side + " with a share of " + contents.dump(), with(only, at + side + "/contents_share", 0.4), contents == "vitreous" ? wrong : alike});
            }
}

}  // namespace perisclera::test
