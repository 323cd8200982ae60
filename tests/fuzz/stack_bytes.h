// SPDX-License-Identifier: Apache-2.0
#pragma once
// A few bytes for each slice of a made-up series, so that mutations keep to what a slice can be.
#include <array>
#include <cstddef>
#include <cstdint>

namespace perisclera::fuzz {

struct StackBytes {
    std::array<std::int8_t, 3> fine;     ///< position, hundredths of a millimetre
    std::array<std::int8_t, 3> coarse;   ///< position, whole millimetres
    std::uint8_t orientation;            ///< which of a few, and its last digit
    std::uint8_t spacing;                ///< which of a few, rows and columns
    std::uint8_t identifiers;            ///< series, frame of reference, study, patient: two bits each
    std::uint8_t instance;
    std::uint8_t times;                  ///< echo, repetition, which modality
    std::uint8_t numbers;                ///< echo number, acquisition number, temporal position
};
static_assert(sizeof(StackBytes) == 12);

inline constexpr std::size_t most_slices = 64;

}  // namespace perisclera::fuzz
