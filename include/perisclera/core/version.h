// SPDX-License-Identifier: Apache-2.0
#pragma once
// The version of the program and of its algorithm. Any change that can move a number raises it.
#include <string_view>

namespace perisclera {

inline constexpr std::string_view program_version = "0.2.0";

}  // namespace perisclera
