// SPDX-License-Identifier: Apache-2.0
#include "checked_object.h"

#include <algorithm>
#include <charconv>
#include <cmath>

namespace perisclera::phantoms {

namespace {

const JsonValue nothing;
const JsonValue::List no_entries;

std::string shown(double value) {
    char text[32];
    return std::string(text, std::to_chars(text, text + sizeof text, value).ptr);
}

}  // namespace

CheckedObject::CheckedObject(const JsonValue& object, std::string path, Problem& problem) : object_(object), path_(std::move(path)), problem_(problem) {
    if (!object_.as<JsonValue::Members>()) problem_.note(path_.empty() ? "scenario" : path_, "must be an object");
}

CheckedObject::~CheckedObject() {
    const auto* members = object_.as<JsonValue::Members>();
    if (!members) return;
    for (const JsonMember& member : *members)
        if (!asked_.contains(member.key)) problem_.note(path_of(member.key), "is not a known key");
}

const JsonValue* CheckedObject::find(const std::string& key) {
    asked_.insert(key);
    const auto* members = object_.as<JsonValue::Members>();
    if (!members) return nullptr;
    const auto at = std::find_if(members->begin(), members->end(), [&](const JsonMember& m) { return m.key == key; });
    return at == members->end() ? nullptr : &at->value;
}

double CheckedObject::checked(const JsonValue& value, const std::string& path, double low, double high) {
    const auto* number = value.as<double>();
    if (!number) return problem_.note(path, "must be a number"), low;
    if (!(*number >= low && *number <= high)) return problem_.note(path, "must lie between " + shown(low) + " and " + shown(high)), low;
    return *number;
}

double CheckedObject::number(const std::string& key, double low, double high, std::optional<double> usual) {
    const JsonValue* value = find(key);
    if (!value) {
        if (!usual) problem_.note(path_of(key), "is missing");
        return usual.value_or(low);
    }
    return checked(*value, path_of(key), low, high);
}

double CheckedObject::whole(const std::string& key, double low, double high, std::optional<double> usual) {
    const double value = number(key, low, high, usual);
    if (value != std::floor(value)) problem_.note(path_of(key), "must be a whole number");
    return value;
}

std::string CheckedObject::text(const std::string& key, std::optional<std::string> usual) {
    const JsonValue* value = find(key);
    if (!value) {
        if (!usual) problem_.note(path_of(key), "is missing");
        return usual.value_or("");
    }
    const auto* text = value->as<std::string>();
    if (!text) return problem_.note(path_of(key), "must be a text"), "";
    return *text;
}

const JsonValue& CheckedObject::object(const std::string& key) {
    const JsonValue* value = find(key);
    if (value && value->is_null()) problem_.note(path_of(key), "must be an object");
    return value ? *value : nothing;
}

const JsonValue::List& CheckedObject::list(const std::string& key, bool required) {
    const JsonValue* value = find(key);
    const auto* list = value ? value->as<JsonValue::List>() : nullptr;
    if (value && !list) problem_.note(path_of(key), "must be a list");
    if (required && (!list || list->empty())) problem_.note(path_of(key), "must be a list with at least one entry");
    return list ? *list : no_entries;
}

}  // namespace perisclera::phantoms
