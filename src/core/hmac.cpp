// SPDX-License-Identifier: Apache-2.0
#include "perisclera/core/hmac.h"

#include <algorithm>

namespace perisclera {

Sha256::Digest hmac_sha256(std::span<const unsigned char> key, std::string_view message) {
    std::array<unsigned char, 64> inner{}, outer{};  // one block of SHA-256, filled up with zeros
    if (key.size() > inner.size()) {
        const Sha256::Digest shorter = Sha256().add(key).digest();
        std::copy(shorter.begin(), shorter.end(), inner.begin());
    } else {
        std::copy(key.begin(), key.end(), inner.begin());
    }
    outer = inner;
    for (unsigned char& byte : inner) byte ^= 0x36;
    for (unsigned char& byte : outer) byte ^= 0x5c;
    return Sha256().add(outer).add(Sha256().add(inner).add(message).digest()).digest();
}

}  // namespace perisclera
