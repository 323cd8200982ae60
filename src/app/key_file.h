// SPDX-License-Identifier: Apache-2.0
#pragma once
// The file of a re-identification key: for its owner alone, whole or not at all.
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>

#include "perisclera/core/result.h"

namespace perisclera::app {

/// What it holds; nullopt where there is none yet. Errors: usage (not a regular file of this user, others may read or write it, or too large), cannot_read.
Result<std::optional<std::string>> read_key_file(const std::filesystem::path& path);

/// With rights for its owner alone from the first byte on, in place of what was there. Error: output_failed.
std::optional<Error> write_key_file(const std::filesystem::path& path, std::string_view text);

}  // namespace perisclera::app
