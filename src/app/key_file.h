// SPDX-License-Identifier: Apache-2.0
#pragma once
// Reading the file of a re-identification key, which is for its owner alone (owner_file.h writes it).
#include <filesystem>
#include <optional>
#include <string>

#include "perisclera/core/result.h"

namespace perisclera::app {

/// What it holds; nullopt where there is none yet. Errors: usage (not a regular file of this user, others may read or write it, or too large), cannot_read.
Result<std::optional<std::string>> read_key_file(const std::filesystem::path& path);

}  // namespace perisclera::app
