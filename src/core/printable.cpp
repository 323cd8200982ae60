// SPDX-License-Identifier: Apache-2.0
#include "perisclera/core/printable.h"

#include <cstddef>

namespace perisclera {

namespace {

unsigned char byte_at(std::string_view text, std::size_t at) { return static_cast<unsigned char>(text[at]); }

struct Character {
    char32_t code = 0;
    std::size_t bytes = 0;  ///< 0: no valid UTF-8 sequence starts here
};

/// Decodes the first character: shortest form only, no surrogates, nothing above U+10FFFF.
Character first_character(std::string_view text) {
    const unsigned char lead = byte_at(text, 0);
    if (lead < 0x80) return {lead, 1};
    const std::size_t bytes = lead >= 0xc2 && lead < 0xe0 ? 2 : lead >= 0xe0 && lead < 0xf0 ? 3 : lead >= 0xf0 && lead < 0xf5 ? 4 : 0;
    if (bytes == 0 || text.size() < bytes) return {};
    char32_t code = lead & (0x7fu >> bytes);
    for (std::size_t i = 1; i < bytes; ++i) {
        if ((byte_at(text, i) & 0xc0) != 0x80) return {};
        code = code << 6 | (byte_at(text, i) & 0x3fu);
    }
    const bool too_long = (bytes == 3 && code < 0x800) || (bytes == 4 && code < 0x10000);
    const bool surrogate = code >= 0xd800 && code <= 0xdfff;
    if (too_long || surrogate || code > 0x10ffff) return {};
    return {code, bytes};
}

bool can_mislead(char32_t code) {
    const bool control = code < 0x20 || (code >= 0x7f && code <= 0x9f);
    const bool separator = code == 0x2028 || code == 0x2029;
    const bool direction = code == 0x061c || code == 0x200e || code == 0x200f || (code >= 0x202a && code <= 0x202e) || (code >= 0x2066 && code <= 0x2069);
    return control || separator || direction;
}

}  // namespace

std::string printable(std::string_view text) {
    static constexpr char digits[] = "0123456789abcdef";
    std::string out;
    while (!text.empty()) {
        const Character c = first_character(text);
        const std::size_t bytes = c.bytes == 0 ? 1 : c.bytes;
        if (c.bytes != 0 && !can_mislead(c.code)) {
            out += text.substr(0, bytes);
        } else {
            for (std::size_t i = 0; i < bytes; ++i) {
                out += "\\x";
                out += digits[byte_at(text, i) >> 4];
                out += digits[byte_at(text, i) & 0x0f];
            }
        }
        text.remove_prefix(bytes);
    }
    return out;
}

}  // namespace perisclera
