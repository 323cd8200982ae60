// SPDX-License-Identifier: Apache-2.0
#pragma once
// SHA-256 (FIPS 180-4): the digest by which images are known again, and by which identifiers are replaced under a secret.
#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>

namespace perisclera {

class Sha256 {
public:
    using Digest = std::array<unsigned char, 32>;
    Sha256& add(std::span<const unsigned char> bytes);
    Sha256& add(std::string_view text) { return add({reinterpret_cast<const unsigned char*>(text.data()), text.size()}); }
    /// Of everything added. Nothing may be added afterwards.
    [[nodiscard]] Digest digest();

private:
    void take_block(const unsigned char* block);
    std::array<std::uint32_t, 8> state_{0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a, 0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19};
    std::array<unsigned char, 64> waiting_{};
    std::size_t waiting_bytes_ = 0;
    std::uint64_t all_bytes_ = 0;
};

/// Two hexadecimal digits a byte, in small letters.
std::string hexadecimal(std::span<const unsigned char> bytes);

}  // namespace perisclera
