// SPDX-License-Identifier: Apache-2.0
#include "source_literals.h"

#include <algorithm>
#include <cctype>

namespace perisclera::layers {

namespace {

bool is_word(char c) { return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_'; }

/// Behind the literal whose quote stands at `at`.
std::size_t behind_literal(std::string_view file, std::size_t at) {
    const char quote = file[at];
    std::size_t end = at + 1;
    while (end < file.size() && file[end] != quote) end += file[end] == '\\' ? 2 : 1;
    return std::min(end + 1, file.size());
}

void blank(std::string& code, std::size_t from, std::size_t to) {
    for (std::size_t k = from; k < to; ++k)
        if (code[k] != '\n') code[k] = ' ';
}

std::size_t end_of_line(std::string_view file, std::size_t at) { return std::min(file.find('\n', at), file.size()); }

bool begins_line(std::string_view file, std::size_t at) {
    while (at > 0 && (file[at - 1] == ' ' || file[at - 1] == '\t')) --at;
    return at == 0 || file[at - 1] == '\n';
}

}  // namespace

Source read_source(std::string_view file, Language language) {
    Source out{std::string(file), {}};
    const bool cpp = language == Language::cpp;
    for (std::size_t at = 0; at < file.size();) {
        const char c = file[at];
        std::size_t end = at + 1;
        if (file.substr(at, 2) == "//" || (cpp && c == '#' && begins_line(file, at))) {
            end = end_of_line(file, at);
            blank(out.code, at, end);
        } else if (file.substr(at, 2) == "/*") {
            end = std::min(file.find("*/", at + 2), file.size() - 2) + 2;
            blank(out.code, at, end);
        } else if (cpp && c == 'R' && file.substr(at, 2) == "R\"" && (at == 0 || !is_word(file[at - 1]))) {
            const std::size_t open = file.find('(', at);
            const std::string close = ")" + std::string(file.substr(at + 2, open - at - 2)) + "\"";
            end = std::min(file.find(close, open), file.size() - close.size()) + close.size();
            out.literals.push_back({std::string(file.substr(open + 1, end - close.size() - open - 1)), at, end});
            blank(out.code, at + 1, end - 1);
        } else if (c == '"' || (!cpp && (c == '\'' || c == '`'))) {
            end = behind_literal(file, at);
            const std::string text(file.substr(at + 1, end - at - 2));
            const bool goes_on = !out.literals.empty() && std::all_of(out.code.begin() + static_cast<std::ptrdiff_t>(out.literals.back().end), out.code.begin() + static_cast<std::ptrdiff_t>(at),
                                                                      [](char between) { return std::isspace(static_cast<unsigned char>(between)) != 0; });
            if (goes_on && cpp) {
                out.literals.back().text += text;
                out.literals.back().end = end;
            } else {
                out.literals.push_back({text, at, end});
            }
            blank(out.code, at + 1, end - 1);
        } else if (cpp && c == '\'' && (at == 0 || !is_word(file[at - 1]))) {   // else it parts digits
            end = behind_literal(file, at);
            blank(out.code, at, end);
        }
        at = end;
    }
    return out;
}

std::size_t behind_closing(std::string_view code, std::size_t open) {
    int depth = 0;
    for (std::size_t k = open; k < code.size(); ++k) {
        depth += code[k] == '(' || code[k] == '[' || code[k] == '{';
        depth -= code[k] == ')' || code[k] == ']' || code[k] == '}';
        if (depth == 0) return k + 1;
    }
    return code.size();
}

int line_of(std::string_view code, std::size_t at) { return 1 + static_cast<int>(std::count(code.begin(), code.begin() + static_cast<std::ptrdiff_t>(at), '\n')); }

}  // namespace perisclera::layers
