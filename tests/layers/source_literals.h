// SPDX-License-Identifier: Apache-2.0
#pragma once
// The string literals of a source file in C++ or JavaScript, and the code without them.
#include <string>
#include <string_view>
#include <vector>

namespace perisclera::layers {

/// Literals that stand one after the other are one.
struct Literal {
    std::string text;        ///< with its escapes as written
    std::size_t at, end;     ///< within the code: its first quote, and behind its last
};

enum class Language { cpp, javascript };

struct Source {
    std::string code;                   ///< comments, preprocessor lines and what literals hold are blanks; nothing else moves
    std::vector<Literal> literals;      ///< in their order
};

Source read_source(std::string_view file, Language language);

/// Behind the bracket that closes the one at `open`; the code's end where none does.
std::size_t behind_closing(std::string_view code, std::size_t open);

int line_of(std::string_view code, std::size_t at);

}  // namespace perisclera::layers
