// SPDX-License-Identifier: Apache-2.0
#pragma once
// A file for its owner alone.
#include <filesystem>
#include <optional>
#include <string_view>

#include "perisclera/core/error.h"

namespace perisclera::app {

/// Whole or not at all, with rights for its owner alone from the first byte on, in place of what was there. Error: output_failed.
std::optional<Error> write_owner_file(const std::filesystem::path& path, std::string_view text);

}  // namespace perisclera::app
