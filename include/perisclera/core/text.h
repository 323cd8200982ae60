// SPDX-License-Identifier: Apache-2.0
#pragma once
// What people read, by key. All of it stands in one catalogue, src/core/texts/english.txt, so that it can be corrected and
// translated without touching code; tests/layers holds keys and {names} of both sides against each other.
#include <initializer_list>
#include <string>
#include <string_view>

namespace perisclera {

/// What stands for {name} in a text.
struct TextValue {
    std::string_view name;
    std::string_view value;
};

/// The catalogue's text of `key`, each {name} replaced by its value. Plain text: the writer of a page escapes it.
/// A key that the catalogue lacks is shown in brackets, and a name without value stays as it is: reports go on, tests fail.
std::string say(std::string_view key, std::initializer_list<TextValue> values = {});

}  // namespace perisclera
