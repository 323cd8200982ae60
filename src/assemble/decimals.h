// SPDX-License-Identifier: Apache-2.0
#pragma once
// Numbers in messages.
#include <charconv>
#include <string>

namespace perisclera {

/// With two decimals, whatever the locale.
inline std::string two_decimals(double value) {
    char text[64];
    const auto written = std::to_chars(text, text + sizeof text, value, std::chars_format::fixed, 2);
    return written.ec == std::errc{} ? std::string(text, written.ptr) : "?";
}

}  // namespace perisclera
