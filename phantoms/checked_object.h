// SPDX-License-Identifier: Apache-2.0
#pragma once
// Reads the members of one JSON object by name and type, within limits, and remembers the first thing wrong: a missing or
// unknown key, a wrong type, a value out of range. The message names the key's whole path.
#include <array>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "json_value.h"
#include "perisclera/core/result.h"

namespace perisclera::phantoms {

/// The first problem met while reading one text; shared by all its objects.
struct Problem {
    std::optional<Error> first;
    void note(const std::string& path, const std::string& what) {
        if (!first) first = Error{ErrorCode::bad_scenario, "\"" + path + "\" " + what, "scenario", "see phantoms/README.md for the keys"};
    }
};

class CheckedObject {
public:
    CheckedObject(const JsonValue& object, std::string path, Problem& problem);
    /// Notes every key that nobody asked for.
    ~CheckedObject();
    CheckedObject(const CheckedObject&) = delete;
    CheckedObject& operator=(const CheckedObject&) = delete;

    bool has(const std::string& key) { return find(key) != nullptr; }
    /// Without a default the key is required.
    double number(const std::string& key, double low, double high, std::optional<double> usual = std::nullopt);
    /// A number without a fraction.
    double whole(const std::string& key, double low, double high, std::optional<double> usual = std::nullopt);
    std::string text(const std::string& key, std::optional<std::string> usual = std::nullopt);
    template <std::size_t N>
    std::array<double, N> numbers(const std::string& key, double low, double high, std::array<double, N> usual) {
        const JsonValue* value = find(key);
        if (!value) return usual;
        const auto* list = value->as<JsonValue::List>();
        if (!list || list->size() != N) return problem_.note(path_of(key), "must be a list of " + std::to_string(N) + " numbers"), usual;
        std::array<double, N> values{};
        for (std::size_t i = 0; i < N; ++i) values[i] = checked((*list)[i], path_of(key), low, high);
        return values;
    }
    /// One of the given words.
    template <class Enum, std::size_t N>
    Enum choice(const std::string& key, const std::array<std::pair<std::string_view, Enum>, N>& words, std::optional<Enum> usual = std::nullopt) {
        const std::string word = text(key, usual ? std::optional<std::string>("") : std::nullopt);
        if (usual && !has(key)) return *usual;
        std::string all;
        for (const auto& [spelling, value] : words) {
            if (spelling == word) return value;
            all += (all.empty() ? "" : ", ") + std::string(spelling);
        }
        problem_.note(path_of(key), "must be one of " + all);
        return words.front().second;
    }
    /// The object, or a null value if absent.
    const JsonValue& object(const std::string& key);
    /// The list's entries; a required list must not be empty.
    const JsonValue::List& list(const std::string& key, bool required);
    [[nodiscard]] std::string path_of(const std::string& key) const { return path_.empty() ? key : path_ + "." + key; }
    Problem& problem() { return problem_; }

private:
    const JsonValue* find(const std::string& key);
    double checked(const JsonValue& value, const std::string& path, double low, double high);
    const JsonValue& object_;
    std::string path_;
    Problem& problem_;
    std::set<std::string> asked_;
};

}  // namespace perisclera::phantoms
