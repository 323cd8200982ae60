// SPDX-License-Identifier: Apache-2.0
#pragma once
// A JSON text (RFC 8259) as plain values, so that whoever reads it needs no library.
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "perisclera/core/result.h"

namespace perisclera::phantoms {

struct JsonMember;

/// null, true or false (no scenario has a use for which), a number, a text, a list, or an object's members.
struct JsonValue {
    using List = std::vector<JsonValue>;
    using Members = std::vector<JsonMember>;
    struct Boolean {};
    std::variant<std::monostate, Boolean, double, std::string, List, Members> value;

    [[nodiscard]] bool is_null() const { return std::holds_alternative<std::monostate>(value); }
    /// The content if it is of that type, or nullptr.
    template <class T>
    [[nodiscard]] const T* as() const { return std::get_if<T>(&value); }
};

struct JsonMember {
    std::string key;
    JsonValue value;
};

/// Error: bad_scenario, if the text is no JSON or nests deeper than 32 levels; then it names the outermost key.
Result<JsonValue> parse_json(std::string_view text);

}  // namespace perisclera::phantoms
