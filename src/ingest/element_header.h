// SPDX-License-Identifier: Apache-2.0
#pragma once
// The header of one element as it stands in a file, and what its value representation says (PS3.5 6.2, 7.1).
#include <array>
#include <cstdint>
#include <string_view>

namespace perisclera {

struct ElementHeader {
    std::uint32_t tag = 0;
    std::array<char, 2> vr{};
    std::uint32_t length = 0;
    std::uint64_t value = 0;  ///< offset of the value
    [[nodiscard]] std::string_view vr_text() const { return {vr.data(), 2}; }
};

/// Value representations with a four-byte length (PS3.5 7.1.2); an unknown pair of capitals is taken for a newer one of them.
bool has_long_header(std::string_view vr);

/// No value representation has any. The DICOM library has some for its own use, and reads lengths of another size after them.
bool has_small_letters(std::string_view vr);

/// Is an attribute without which nothing is measured written as another kind of value than its own? Two readers may well read two values of it.
bool states_wrong_type(const ElementHeader& header);

}  // namespace perisclera
