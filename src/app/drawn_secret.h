// SPDX-License-Identifier: Apache-2.0
#pragma once
// Chance, for secrets alone: no result depends on it.
#include <array>

namespace perisclera::app {

std::array<unsigned char, 32> drawn_secret();

}  // namespace perisclera::app
