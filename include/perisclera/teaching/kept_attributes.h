// SPDX-License-Identifier: Apache-2.0
#pragma once
// The attributes that a teaching image has, and where each comes from. Whatever the original has besides is removed: free text, codes, numbers and sequences that nobody needs to read
// the images, private attributes, and whatever a later edition of the standard may add.
#include <cstdint>
#include <span>
#include <string_view>

namespace perisclera::teaching {

enum class Origin {
    kept,       ///< the original's value, read strictly as the number or the defined term that it must be
    emptied,    ///< present without a value, as the object's definition asks for
    replaced,   ///< another value in the original's place
    added,      ///< says what was done to the image
};

struct KeptAttribute {
    std::uint32_t tag;
    Origin origin;
    std::string_view why;   ///< key of the reason in the catalogue of texts
};

/// By rising tag.
std::span<const KeptAttribute> kept_attributes();
const KeptAttribute* kept_attribute(std::uint16_t group, std::uint16_t element);

}  // namespace perisclera::teaching
