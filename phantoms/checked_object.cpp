// SPDX-License-Identifier: Apache-2.0
#include "checked_object.h"

#include <charconv>

namespace perisclera::phantoms {

namespace {

const nlohmann::json nothing;

std::string shown(double value) {
    char text[32];
    return std::string(text, std::to_chars(text, text + sizeof text, value).ptr);
}

}  // namespace

CheckedObject::CheckedObject(const Json& object, std::string path, Problem& problem) : object_(object), path_(std::move(path)), problem_(problem) {
    if (!object_.is_object()) problem_.note(path_.empty() ? "scenario" : path_, "must be an object");
}

CheckedObject::~CheckedObject() {
    if (!object_.is_object()) return;
    for (const auto& member : object_.items())
        if (!asked_.contains(member.key())) problem_.note(path_of(member.key()), "is not a known key");
}

const CheckedObject::Json* CheckedObject::find(const std::string& key) {
    asked_.insert(key);
    if (!object_.is_object()) return nullptr;
    const auto at = object_.find(key);
    return at == object_.end() ? nullptr : &*at;
}

double CheckedObject::checked(const Json& value, const std::string& path, double low, double high) {
    if (!value.is_number()) return problem_.note(path, "must be a number"), low;
    const double number = value.get<double>();
    if (!(number >= low && number <= high)) return problem_.note(path, "must lie between " + shown(low) + " and " + shown(high)), low;
    return number;
}

double CheckedObject::number(const std::string& key, double low, double high, std::optional<double> usual) {
    const Json* value = find(key);
    if (!value) {
        if (!usual) problem_.note(path_of(key), "is missing");
        return usual.value_or(low);
    }
    return checked(*value, path_of(key), low, high);
}

std::string CheckedObject::text(const std::string& key, std::optional<std::string> usual) {
    const Json* value = find(key);
    if (!value) {
        if (!usual) problem_.note(path_of(key), "is missing");
        return usual.value_or("");
    }
    if (!value->is_string()) return problem_.note(path_of(key), "must be a text"), "";
    return value->get<std::string>();
}

const CheckedObject::Json& CheckedObject::object(const std::string& key) {
    const Json* value = find(key);
    return value ? *value : nothing;
}

const CheckedObject::Json& CheckedObject::list(const std::string& key, bool required) {
    const Json* value = find(key);
    if (value && !value->is_array()) problem_.note(path_of(key), "must be a list");
    if (required && (!value || value->empty())) problem_.note(path_of(key), "must be a list with at least one entry");
    return value && value->is_array() ? *value : nothing;
}

}  // namespace perisclera::phantoms
