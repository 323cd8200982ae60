// SPDX-License-Identifier: Apache-2.0
#pragma once
// Inflation of a deflated data set (RFC 1951 without wrapper, PS3.5 A.5). A few bytes can claim gigabytes, so the result is capped.
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "input_file.h"
#include "perisclera/core/result.h"

namespace perisclera {

/// The most that `compressed_bytes` may become.
std::uint64_t most_inflated_bytes(std::uint64_t compressed_bytes);

/// Everything of `file` from `offset` on, inflated. Errors: inflates_too_large, truncated, trailing_bytes, decode_failed, cannot_read.
Result<std::vector<unsigned char>> inflate(InputFile& file, std::uint64_t offset, const std::string& where);

/// Puts the inflated data set in the place of the deflated one, in memory.
std::optional<Error> inflate_dataset(InputFile& file, std::uint64_t offset, const std::string& where);

}  // namespace perisclera
