// SPDX-License-Identifier: Apache-2.0
#pragma once
// Code strings of several values.
#include <algorithm>
#include <initializer_list>
#include <string>
#include <string_view>
#include <vector>

namespace perisclera {

/// Is one of the wanted codes among the values?
inline bool holds(const std::vector<std::string>& values, std::initializer_list<std::string_view> wanted) {
    return std::any_of(values.begin(), values.end(), [&](const std::string& v) { return std::find(wanted.begin(), wanted.end(), v) != wanted.end(); });
}

}  // namespace perisclera
