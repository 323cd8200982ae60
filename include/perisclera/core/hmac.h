// SPDX-License-Identifier: Apache-2.0
#pragma once
// HMAC-SHA-256 (RFC 2104): a digest that only the holder of the key can make, so that nobody else can try out what was digested.
#include <span>
#include <string_view>

#include "perisclera/core/sha256.h"

namespace perisclera {

Sha256::Digest hmac_sha256(std::span<const unsigned char> key, std::string_view message);

}  // namespace perisclera
