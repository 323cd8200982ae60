// SPDX-License-Identifier: Apache-2.0
#include "text_check.h"

#include <algorithm>
#include <cctype>
#include <regex>
#include <sstream>

namespace perisclera::layers {

namespace {

const std::regex key_form("[a-z][a-z0-9_]*\\.[a-z0-9][a-z0-9_]*"), slot("\\{([a-z][a-z_]*)\\}"), file_name(".*\\.(json|html|pdf|png|dcm|js|css|txt|zip|md|bin|svg)");

std::string part_of(std::string_view key) { return std::string(key.substr(0, key.find('.'))); }

std::string at_line(const Source& source, std::size_t at, const std::string& words) { return "line " + std::to_string(line_of(source.code, at)) + ": " + words; }

std::set<std::string> names_in(const std::string& text) {
    std::set<std::string> names;
    for (std::sregex_iterator m(text.begin(), text.end(), slot), end; m != end; ++m) names.insert((*m)[1]);
    return names;
}

/// The places of `name(` or `name{`, each the bracket's; members of that name are something else.
std::vector<std::size_t> uses_of(const Source& source, const std::string& name, char bracket) {
    std::vector<std::size_t> out;
    const std::string sought = name + bracket;
    for (std::size_t at = source.code.find(sought); at != std::string::npos; at = source.code.find(sought, at + 1)) {
        const bool whole = at == 0 || (std::isalnum(static_cast<unsigned char>(source.code[at - 1])) == 0 && source.code[at - 1] != '_' && source.code[at - 1] != '.');
        if (whole) out.push_back(at + name.size());
    }
    return out;
}

/// Where the argument that begins at `from` ends: at a comma or the closing bracket.
std::size_t end_of_argument(std::string_view code, std::size_t from) {
    while (from < code.size() && code[from] != ',' && code[from] != ')' && code[from] != '}') from = code[from] == '(' || code[from] == '[' || code[from] == '{' ? behind_closing(code, from) : from + 1;
    return std::min(from, code.size());
}

struct Call {
    std::size_t at;
    std::vector<std::string> keys;
    std::set<std::string> names;
};

std::vector<Call> calls_of_say(const Source& source) {
    std::vector<Call> calls;
    const std::string& code = source.code;
    for (const std::size_t open : uses_of(source, "say", '(')) {
        const std::size_t end = behind_closing(code, open), comma = end_of_argument(code, open + 1);
        Call call{open, {}, {}};
        for (const Literal& l : source.literals)
            if (l.at > open && l.end <= comma) call.keys.push_back(l.text);
        for (std::size_t at = code.find('{', comma) + 1; comma + 1 < end && at > 0 && at < end; at = end_of_argument(code, at) + 1) {   // {{"name", value}, ...}
            const std::size_t entry = code.find_first_not_of(" \n", at), name = entry == std::string::npos ? entry : code.find_first_not_of(" \n", entry + 1);
            if (entry == std::string::npos || code[entry] != '{') break;
            const auto literal = std::find_if(source.literals.begin(), source.literals.end(), [&](const Literal& l) { return l.at == name; });
            call.names.insert(literal == source.literals.end() ? "a name that is no literal" : literal->text);
        }
        calls.push_back(std::move(call));
    }
    return calls;
}

/// The text less its markup, also where a tag begins in one literal and ends in another.
std::string without_markup(std::string text) {
    const std::size_t close = text.find('>'), open = text.find('<');
    if (close != std::string::npos && close < open && text.substr(0, close).find('"') != std::string::npos) text.erase(0, close + 1);
    static const std::regex tag("<[^>]*(>|$)");
    return std::regex_replace(text, tag, " ");
}

bool is_prose(const std::string& literal) {
    static const std::regex style_or_shader(";\\s*\\}"), word("[(\"]*[a-z]+('[a-z]+)?[.,;:)\"]*");
    if (std::regex_search(literal, style_or_shader)) return false;
    std::istringstream parts(without_markup(literal));
    int words = 0;
    for (std::string part; parts >> part;) words += std::regex_match(part, word);
    return words >= 3;
}

struct NoProse {
    const char* name;
    char bracket;
};
constexpr NoProse no_prose[] = {
    {"Error", '{'}, {"refused", '('}, {"record_refused", '('}, {"bytes_of", '('},   // for the terminal
    {"own", '('}, {"own_word", '('},             // what our own codes mean
    {"uid_from", '('}, {"filed_uid", '('},       // what UIDs are made of
};

}  // namespace

Catalogue texts_of(std::string_view file) {
    Catalogue texts;
    std::istringstream lines{std::string(file)};
    for (std::string line; std::getline(lines, line);)
        if (const std::size_t equals = line.find(" = "); !line.starts_with('#') && equals != std::string::npos) texts.emplace(line.substr(0, equals), line.substr(equals + 3));
    return texts;
}

Faults faults_of_catalogue(std::string_view file) {
    static const std::regex markup("<[a-zA-Z/!]|&[a-z]+;|&#");
    Faults faults;
    std::set<std::string> seen;
    std::istringstream lines{std::string(file)};
    int number = 0;
    for (std::string line; std::getline(lines, line);) {
        ++number;
        const auto wrong = [&](const std::string& why) { faults.push_back("line " + std::to_string(number) + " " + why + ": " + line); };
        if (line.empty() || line.starts_with("# ")) continue;
        const std::size_t equals = line.find(" = ");
        const std::string key = line.substr(0, equals), text = equals == std::string::npos ? "" : line.substr(equals + 3);
        if (text.empty() || !std::regex_match(key, key_form)) wrong("is no key and text");
        if (!seen.insert(key).second) wrong("has a key that stands twice");
        if (text.starts_with(' ') || text.ends_with(' ') || text.find_first_of("\t\r") != std::string::npos) wrong("has blanks at an end, or other white space");
        if (std::regex_search(text, markup)) wrong("has markup");
        if (std::regex_replace(text, slot, "").find_first_of("{}") != std::string::npos) wrong("has braces that hold no name");
    }
    return faults;
}

Faults keys_without_text(const Source& source, const Catalogue& texts) {
    std::set<std::string> parts;
    for (const auto& [key, text] : texts) parts.insert(part_of(key));
    Faults faults;
    for (const Literal& l : source.literals)
        if (std::regex_match(l.text, key_form) && !std::regex_match(l.text, file_name) && parts.contains(part_of(l.text)) && !texts.contains(l.text)) faults.push_back(at_line(source, l.at, l.text));
    for (const Call& call : calls_of_say(source))
        for (const std::string& key : call.keys)
            if (!texts.contains(key) && !(std::regex_match(key, key_form) && parts.contains(part_of(key)))) faults.push_back(at_line(source, call.at, key));
    return faults;
}

std::set<std::string> keys_used(const Source& source, const Catalogue& texts) {
    std::set<std::string> used;
    for (const Literal& l : source.literals)
        if (texts.contains(l.text)) used.insert(l.text);
    return used;
}

Faults names_that_differ(const Source& source, const Catalogue& texts) {
    Faults faults;
    for (const Call& call : calls_of_say(source))
        for (const std::string& key : call.keys)
            if (const auto text = texts.find(key); text != texts.end() && names_in(text->second) != call.names) faults.push_back(at_line(source, call.at, key));
    return faults;
}

Faults prose_in(const Source& source) {
    std::vector<std::pair<std::size_t, std::size_t>> left_out;
    for (const auto& [name, bracket] : no_prose)
        for (const std::size_t open : uses_of(source, name, bracket)) left_out.emplace_back(open, behind_closing(source.code, open));
    Faults faults;
    for (const Literal& l : source.literals) {
        const bool counts = std::none_of(left_out.begin(), left_out.end(), [&](const auto& range) { return range.first < l.at && l.end <= range.second; });
        if (counts && is_prose(l.text)) faults.push_back(at_line(source, l.at, l.text));
    }
    return faults;
}

}  // namespace perisclera::layers
