// SPDX-License-Identifier: Apache-2.0
#pragma once
// DICOM unique identifiers made from text, so that the same run names its objects the same.
// Form "2.25.<decimal>" of a UUID (PS3.5 B.2), the UUID being of version 8, "custom" (RFC 9562 5.8), filled from the 128-bit
// FNV-1a hash (RFC 9923) of the text's hash. Not secret: whoever knows the text can compute the UID.
#include <array>
#include <cstdint>
#include <string>
#include <string_view>

namespace perisclera {

/// FNV-1a of 128 bits, as high and low half.
std::array<std::uint64_t, 2> fnv1a_128(std::string_view text);

/// The UID of this text; at most 44 characters.
std::string uid_from(std::string_view text);

}  // namespace perisclera
