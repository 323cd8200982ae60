// SPDX-License-Identifier: Apache-2.0
#include "perisclera/core/sha256.h"

#include <algorithm>
#include <bit>

namespace perisclera {

namespace {

/// The first 32 bits of the fractional parts of the cube roots of the first 64 primes (FIPS 180-4 4.2.2).
constexpr std::array<std::uint32_t, 64> round_constants{
    0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5, 0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74,
    0x80deb1fe, 0x9bdc06a7, 0xc19bf174, 0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da, 0x983e5152, 0xa831c66d,
    0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967, 0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e,
    0x92722c85, 0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070, 0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5,
    0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3, 0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2};

}  // namespace

void Sha256::take_block(const unsigned char* block) {
    std::array<std::uint32_t, 64> w;
    for (std::size_t t = 0; t < 16; ++t)
        w[t] = static_cast<std::uint32_t>(block[4 * t]) << 24 | static_cast<std::uint32_t>(block[4 * t + 1]) << 16 | static_cast<std::uint32_t>(block[4 * t + 2]) << 8 | block[4 * t + 3];
    for (std::size_t t = 16; t < 64; ++t) {
        const std::uint32_t a = w[t - 15], b = w[t - 2];
        w[t] = (std::rotr(b, 17) ^ std::rotr(b, 19) ^ b >> 10) + w[t - 7] + (std::rotr(a, 7) ^ std::rotr(a, 18) ^ a >> 3) + w[t - 16];
    }
    auto [a, b, c, d, e, f, g, h] = state_;
    for (std::size_t t = 0; t < 64; ++t) {
        const std::uint32_t first = h + (std::rotr(e, 6) ^ std::rotr(e, 11) ^ std::rotr(e, 25)) + ((e & f) ^ (~e & g)) + round_constants[t] + w[t];
        const std::uint32_t second = (std::rotr(a, 2) ^ std::rotr(a, 13) ^ std::rotr(a, 22)) + ((a & b) ^ (a & c) ^ (b & c));
        h = g, g = f, f = e, e = d + first, d = c, c = b, b = a, a = first + second;
    }
    const std::array<std::uint32_t, 8> worked{a, b, c, d, e, f, g, h};
    for (std::size_t i = 0; i < 8; ++i) state_[i] += worked[i];
}

Sha256& Sha256::add(std::span<const unsigned char> bytes) {
    all_bytes_ += bytes.size();
    while (!bytes.empty()) {
        if (waiting_bytes_ == 0 && bytes.size() >= waiting_.size()) {
            take_block(bytes.data());
            bytes = bytes.subspan(waiting_.size());
            continue;
        }
        const std::size_t taken = std::min(bytes.size(), waiting_.size() - waiting_bytes_);
        std::copy_n(bytes.begin(), taken, waiting_.begin() + static_cast<std::ptrdiff_t>(waiting_bytes_));
        waiting_bytes_ += taken;
        bytes = bytes.subspan(taken);
        if (waiting_bytes_ < waiting_.size()) break;
        take_block(waiting_.data());
        waiting_bytes_ = 0;
    }
    return *this;
}

Sha256::Digest Sha256::digest() {
    const std::uint64_t bits = all_bytes_ * 8;
    // One bit set, zeros, and the length in bits as the last eight bytes of a block (FIPS 180-4 5.1.1).
    std::array<unsigned char, 72> padding{0x80};
    const std::size_t zeros_end = waiting_bytes_ < 56 ? 56 - waiting_bytes_ : 120 - waiting_bytes_;
    for (std::size_t i = 0; i < 8; ++i) padding[zeros_end + i] = static_cast<unsigned char>(bits >> (56 - 8 * i));
    add({padding.data(), zeros_end + 8});
    Digest out;
    for (std::size_t i = 0; i < out.size(); ++i) out[i] = static_cast<unsigned char>(state_[i / 4] >> (24 - 8 * (i % 4)));
    return out;
}

std::string hexadecimal(std::span<const unsigned char> bytes) {
    constexpr std::string_view digits = "0123456789abcdef";
    std::string out;
    for (const unsigned char b : bytes) out += {digits[b >> 4], digits[b & 15]};
    return out;
}

}  // namespace perisclera
