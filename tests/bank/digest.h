// SPDX-License-Identifier: Apache-2.0
#pragma once
// What names the bank's folders and results.
#include <string>
#include <string_view>

namespace perisclera::bank {

/// SHA-256 (FIPS 180-4) as 64 hexadecimal digits.
std::string sha256(std::string_view bytes);

}  // namespace perisclera::bank
