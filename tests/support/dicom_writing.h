// SPDX-License-Identifier: Apache-2.0
#pragma once
// What both writers of test objects need of DCMTK.
#include <dcmtk/config/osconfig.h>
// osconfig.h comes first by the library's rule.
#include <dcmtk/ofstd/ofcond.h>

#include <array>
#include <cstdio>
#include <stdexcept>
#include <string>

namespace perisclera::test {

inline void must(const OFCondition& condition) {
    if (condition.bad()) throw std::runtime_error(condition.text());
}

template <std::size_t N>
std::string joined(const std::array<double, N>& values) {
    std::string text;
    for (const double value : values) {
        char number[32];
        std::snprintf(number, sizeof number, "%.10g", value);
        text += (text.empty() ? "" : "\\") + std::string(number);
    }
    return text;
}

}  // namespace perisclera::test
