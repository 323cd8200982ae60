// SPDX-License-Identifier: Apache-2.0
#include "perisclera/core/text.h"

#include <algorithm>
#include <map>

#include "src/core/texts/catalogue_file.h"

namespace perisclera {

namespace {

using Texts = std::map<std::string_view, std::string_view>;

/// One text a line, "key = text"; lines that begin with # are notes to the translator.
Texts read(std::string_view file) {
    Texts texts;
    while (!file.empty()) {
        const std::size_t end = std::min(file.find('\n'), file.size());
        const std::string_view line = file.substr(0, end);
        file.remove_prefix(std::min(end + 1, file.size()));
        const std::size_t equals = line.find(" = ");
        if (!line.starts_with('#') && equals != std::string_view::npos) texts.emplace(line.substr(0, equals), line.substr(equals + 3));
    }
    return texts;
}

}  // namespace

std::string say(std::string_view key, std::initializer_list<TextValue> values) {
    static const Texts texts = read(texts::catalogue_file());
    const auto found = texts.find(key);
    if (found == texts.end()) return "[" + std::string(key) + "]";
    std::string out;
    std::string_view rest = found->second;
    // What was put in is not searched again: a value may hold braces.
    while (!rest.empty()) {
        const std::size_t open = std::min(rest.find('{'), rest.size());
        out += rest.substr(0, open);
        rest.remove_prefix(open);
        const std::size_t close = rest.find('}');
        const std::size_t length = close == std::string_view::npos ? rest.size() : close + 1;
        const std::string_view slot = rest.substr(0, length);
        const auto value = std::find_if(values.begin(), values.end(), [&](const TextValue& v) { return slot.size() == v.name.size() + 2 && slot.substr(1, v.name.size()) == v.name; });
        out += value == values.end() ? slot : value->value;
        rest.remove_prefix(length);
    }
    return out;
}

}  // namespace perisclera
