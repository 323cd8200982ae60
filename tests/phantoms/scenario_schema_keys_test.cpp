// SPDX-License-Identifier: Apache-2.0
// The keys and words of phantoms/scenario.schema.json are those of the tables of phantoms/README.md and those that the parser asks for: three statements
// written apart have to agree.
#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>
#include <regex>
#include <set>
#include <string>
#include <vector>

#include "tests/phantoms/scenario_variants.h"
#include "tests/support/test_folder.h"

namespace perisclera::phantoms {
namespace {

using nlohmann::json;
using test::scenario_schema;

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

/// The README's table whose head begins like this: by its first cell, the rest of each row.
std::vector<std::pair<std::string, std::string>> table(const std::string& head) {
    std::ifstream readme(test::phantoms_folder() / "README.md");
    std::vector<std::pair<std::string, std::string>> rows;
    bool inside = false;
    for (std::string line; std::getline(readme, line);) {
        if (line.starts_with(head)) inside = true;
        else if (inside && line.empty()) break;
        else if (const auto cell = line.find('|', 1); inside && line.starts_with("| `")) rows.emplace_back(line.substr(0, cell), line.substr(cell));
    }
    return rows;
}

TEST(ScenarioSchemaKeys, are_with_their_words_those_of_the_readme) {
    const json& all = scenario_schema();
    std::set<std::string> every_key, every_word;
    collect(all, every_key, every_word);
    const std::vector<std::pair<std::string, json>> tables{{"", all["properties"]}, {" of an EYE", all["$defs"]["eye"]["properties"]},
                                                           {" of an ELEMENT", all["$defs"]["element"]["properties"]},
                                                           {" of a SERIES", all["$defs"]["series"]["properties"]}};
    for (const auto& [of, properties] : tables) {
        std::set<std::string> named;
        for (const auto& [first, rest] : table("| key" + of + " |")) {
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

/// What the schema says of one kind of look-alike; empty if only that it exists.
json rule_of(const std::string& kind) {
    for (const json& rule : scenario_schema()["$defs"]["look_alike"]["allOf"]) {
        const json& kinds = rule["if"]["properties"]["kind"];
        if (kinds.contains("const") ? kinds["const"] == kind : std::ranges::find(kinds["enum"], json(kind)) != kinds["enum"].end()) return rule["then"];
    }
    return json::object();
}

/// The defaults in a rule, as the README writes them: a number or numbers in brackets, a word as the first of its choice.
void written_defaults(const json& part, std::vector<std::string>& all) {
    if (!part.is_object()) return;
    for (const auto& [name, value] : part.items()) {
        if (name == "properties")
            for (const auto& [key, own] : value.items()) {
                if (!own.contains("default")) continue;
                const json& usual = own["default"];
                std::string text;
                if (usual.is_array())
                    for (const json& number : usual) text += (text.empty() ? "" : ", ") + number.dump();
                if (usual.is_number()) text = usual.dump();
                all.push_back(usual.is_string() ? "`" + key + "` \\(`" + usual.get<std::string>() + "`" : "[( ]" + text + "[;)]");
            }
        written_defaults(value, all);
    }
}

TEST(ScenarioSchemaKeys, of_each_look_alike_are_with_their_defaults_those_of_the_readme) {
    std::set<std::string> kinds;
    for (const auto& [first, rest] : table("| `kind` | what it is |")) {
        const std::string keys = rest.substr(rest.find('|', 1));
        for (const std::string& kind : quoted_in(first)) {
            kinds.insert(kind);
            std::set<std::string> named, words;
            std::vector<std::string> defaults;
            const json rule = rule_of(kind);
            collect(rule, named, words);
            named.merge(words);
            EXPECT_EQ(quoted_in(keys), named) << kind;
            written_defaults(rule, defaults);
            for (const std::string& text : defaults) EXPECT_TRUE(std::regex_search(keys, std::regex(text))) << kind << ": " << text << " is not in " << keys;
        }
    }
    std::set<std::string> of_schema;
    for (const json& kind : scenario_schema()["$defs"]["look_alike"]["properties"]["kind"]["enum"]) of_schema.insert(kind);
    EXPECT_EQ(kinds, of_schema);
    EXPECT_EQ(kinds.size(), 14u);
}

// What asks a CheckedObject for a key names it in words, but for the sides.
TEST(ScenarioSchemaKeys, are_those_that_the_parser_reads) {
    static const std::regex asked(R"((?:number|whole|text|numbers<\d>|choice(?:<\w+>)?|object|list|part)\("([a-z0-9_]+)\")");
    std::set<std::string> read{"right", "left"}, keys, words;
    for (const char* file : {"scenario.cpp", "look_alike.cpp"}) {
        const std::string source = test::read_bytes(test::phantoms_folder() / file);
        for (std::sregex_iterator m(source.begin(), source.end(), asked), end; m != end; ++m) read.insert((*m)[1]);
    }
    collect(scenario_schema(), keys, words);
    EXPECT_EQ(read, keys);
}

}  // namespace
}  // namespace perisclera::phantoms
