// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <string>
#include <string_view>
#include <vector>

namespace perisclera::report {

/// The parts one after the other, with `between` between each two.
inline std::string joined(const std::vector<std::string>& parts, std::string_view between) {
    std::string out;
    for (const std::string& part : parts) {
        if (&part != &parts.front()) out += between;
        out += part;
    }
    return out;
}

}  // namespace perisclera::report
