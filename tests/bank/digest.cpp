// SPDX-License-Identifier: Apache-2.0
#include "tests/bank/digest.h"

#include <openssl/evp.h>

#include <array>
#include <stdexcept>

namespace perisclera::bank {

std::string sha256(std::string_view bytes) {
    std::array<unsigned char, 32> digest;
    if (EVP_Digest(bytes.data(), bytes.size(), digest.data(), nullptr, EVP_sha256(), nullptr) != 1) throw std::runtime_error("no SHA-256");
    constexpr std::string_view digits = "0123456789abcdef";
    std::string text;
    for (const unsigned char byte : digest) {
        text += digits[byte >> 4];
        text += digits[byte & 15];
    }
    return text;
}

}  // namespace perisclera::bank
