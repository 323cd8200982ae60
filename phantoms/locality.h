// SPDX-License-Identifier: Apache-2.0
#pragma once
// What may lie in a small box of the head, so that a point of it is compared only with shapes that it can lie in. Whatever is named may occur, what is
// not named does not: by bounds of each shape over the box, so that labels are the same with and without it.
#include <algorithm>
#include <cstdint>
#include <initializer_list>
#include <optional>

#include "tissue.h"

namespace perisclera::phantoms {

enum class Nearby : std::uint8_t {
    globe,         ///< whatever an eye changes
    skin,          ///< depths below the skin that matter
    orbit,         ///< places within the orbit's wall or in it
    surroundings,  ///< places beyond the wall or before the rim
    wall, sinuses, cheekbone, skull,
    superior_rectus, inferior_rectus, medial_rectus, lateral_rectus, obliques, nerve, superior_oblique, vein, gland, cushion, count
};

class Locality {
public:
    /// Nothing, to be added to.
    constexpr Locality() = default;
    static constexpr Locality anything() {
        Locality all;
        all.bits_ = all_nearby;
        return all;
    }
    static constexpr Locality of_bits(std::uint32_t bits) {
        Locality out;
        out.bits_ = bits;
        return out;
    }
    constexpr void add(Nearby what, bool may_occur) { bits_ |= may_occur ? bit(what) : 0u; }
    [[nodiscard]] constexpr bool may_be(Nearby what) const { return (bits_ & bit(what)) != 0u; }
    [[nodiscard]] constexpr bool is_at_most(Nearby what) const { return (bits_ & all_nearby & ~bit(what)) == 0u; }
    [[nodiscard]] constexpr bool is_none_of(std::initializer_list<Nearby> these) const {
        return std::none_of(these.begin(), these.end(), [this](Nearby what) { return may_be(what); });
    }
    /// All of the box has this label.
    constexpr void set_all_alike(Label label) { bits_ |= known | static_cast<std::uint32_t>(label) << label_shift; }
    [[nodiscard]] constexpr std::optional<Label> all_alike() const {
        return (bits_ & known) != 0u ? std::optional(static_cast<Label>(bits_ >> label_shift)) : std::nullopt;
    }
    [[nodiscard]] constexpr std::uint32_t bits() const { return bits_; }

private:
    static constexpr std::uint32_t bit(Nearby what) { return 1u << static_cast<unsigned>(what); }
    static constexpr std::uint32_t all_nearby = (1u << static_cast<unsigned>(Nearby::count)) - 1u;
    static constexpr std::uint32_t known = 1u << 22;
    static constexpr unsigned label_shift = 24;
    std::uint32_t bits_ = 0;
};

}  // namespace perisclera::phantoms
