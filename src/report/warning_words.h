// SPDX-License-Identifier: Apache-2.0
#pragma once
// A warning as one line, for report.json and for what is filed.
#include <string>

#include "perisclera/core/error.h"

namespace perisclera::report {

inline std::string warning_in_words(const Error& warning) {
    std::string text = warning.what;
    for (const std::string& part : {warning.where, warning.hint})
        if (!part.empty()) text += ": " + part;
    return text;
}

}  // namespace perisclera::report
