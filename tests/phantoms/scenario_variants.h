// SPDX-License-Identifier: Apache-2.0
#pragma once
// Scenarios that between them have every key, what is wrong with variants of them, and what phantoms/scenario.schema.json says of a scenario. The schema
// is read by Debian's python3-jsonschema (JSON Schema 2020-12).
#include <filesystem>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

namespace perisclera::test {

/// The folder phantoms.
std::filesystem::path phantoms_folder();

const nlohmann::json& scenario_schema();

enum class Told { all, errors };
/// What the schema says of each scenario: see tests/phantoms/check_scenarios.py.
nlohmann::json checked_by_schema(const std::vector<nlohmann::json>& scenarios, Told told = Told::all);

/// One of each kind of series; between them they have every key of a scenario, of an eye and of an element, but for look-alikes.
std::vector<nlohmann::json> rich_scenarios();

/// Every kind of look-alike with and without a globe, what the program does not need left out; contents that fill a share.
std::vector<nlohmann::json> look_alike_scenarios();

struct Variant {
    std::string about;
    nlohmann::json scenario;
    enum class Expected { sound, wrong, alike } expected;  ///< by both; alike: what one refuses for its form, so does the other
};

nlohmann::json with(nlohmann::json scenario, const std::string& at, const nlohmann::json& value);

/// Each value below `within` in turn of a wrong type, out of range, at the ends of its range, missing; each object with a key that nobody knows.
void vary(const nlohmann::json& base, const nlohmann::json& ranges, const std::string& within, std::vector<Variant>& all);

/// A series of each other kind and plane; each element as of each other form and material, and with the keys of the others.
void mix(const nlohmann::json& base, std::vector<Variant>& all);

/// Each look-alike as of each other kind, with the keys of the others and in the place of each other; contents of each kind that fill a share, or not.
void mix_look_alikes(const nlohmann::json& base, std::vector<Variant>& all);

}  // namespace perisclera::test
