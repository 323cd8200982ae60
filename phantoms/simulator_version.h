// SPDX-License-Identifier: Apache-2.0
#pragma once
// Raised whenever the same scenario comes to give other images, so that images kept from before are made anew.
#include <string_view>

namespace perisclera::phantoms {

inline constexpr std::string_view simulator_version = "3";

}  // namespace perisclera::phantoms
