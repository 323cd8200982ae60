// SPDX-License-Identifier: Apache-2.0
#pragma once
// What a gzip file holds, by zlib's own reading, which fails where check sum or length are wrong.
#include <string>

namespace perisclera::test {

/// Throws std::runtime_error where the file is not one whole gzip member and nothing else.
std::string inflated(const std::string& gzip_file);

}  // namespace perisclera::test
