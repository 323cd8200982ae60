// SPDX-License-Identifier: Apache-2.0
#include "json_value.h"

#include <nlohmann/json.hpp>

namespace perisclera::phantoms {

namespace {

constexpr int deepest = 32;  // a scenario needs 8; reading is recursive, so outside text must not choose the depth

bool convert(const nlohmann::json& from, JsonValue& to, int depth) {
    if (depth > deepest) return false;
    if (from.is_null()) return true;
    if (from.is_boolean()) return to.value = JsonValue::Boolean{}, true;
    if (from.is_number()) return to.value = from.get<double>(), true;
    if (from.is_string()) return to.value = from.get<std::string>(), true;
    if (from.is_array()) {
        auto& list = to.value.emplace<JsonValue::List>(from.size());
        for (std::size_t i = 0; i < from.size(); ++i)
            if (!convert(from[i], list[i], depth + 1)) return false;
        return true;
    }
    auto& members = to.value.emplace<JsonValue::Members>();
    for (const auto& member : from.items()) {
        members.push_back({member.key(), {}});
        if (!convert(member.value(), members.back().value, depth + 1)) return false;
    }
    return true;
}

}  // namespace

Result<JsonValue> parse_json(std::string_view text) {
    const auto json = nlohmann::json::parse(text, nullptr, false);
    if (json.is_discarded()) return Error{ErrorCode::bad_scenario, "the text is not JSON", "scenario", "check commas, quotes and brackets"};
    const auto too_deep = [](const std::string& what) {
        return Error{ErrorCode::bad_scenario, what + " is nested deeper than " + std::to_string(deepest) + " levels", "scenario", "see phantoms/README.md for the keys"};
    };
    JsonValue value;
    if (!json.is_object()) return convert(json, value, 0) ? Result<JsonValue>(std::move(value)) : too_deep("the scenario");
    auto& members = value.value.emplace<JsonValue::Members>();
    for (const auto& member : json.items()) {
        members.push_back({member.key(), {}});
        if (!convert(member.value(), members.back().value, 1)) return too_deep("\"" + member.key() + "\"");
    }
    return value;
}

}  // namespace perisclera::phantoms
