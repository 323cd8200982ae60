// SPDX-License-Identifier: Apache-2.0
#include "src/report/private_codes.h"

#include <algorithm>
#include <cassert>

namespace perisclera::report {

Code own_word(std::string_view word) {
    const auto same = [](char meant, char written) { return meant == (written == '_' ? ' ' : written); };
    const auto at = std::find_if(private_codes.begin(), private_codes.end(), [&](const PrivateCode& c) { return std::ranges::equal(c.meaning, word, same); });
    assert(at != private_codes.end());
    return {at->value, private_scheme, at->meaning};
}

}  // namespace perisclera::report
