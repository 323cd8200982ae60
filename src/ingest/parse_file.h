// SPDX-License-Identifier: Apache-2.0
#pragma once
// One file's bytes to its checked header.
#include <filesystem>
#include <string>
#include <variant>

#include "perisclera/ingest/file_set.h"

namespace perisclera {

/// A sound DICOM object that holds no image for this program.
struct IgnoredObject {
    std::string kind;  ///< in words
};

using ParsedFile = std::variant<SliceHeader, IgnoredObject, RefusedFile>;

ParsedFile parse_file(const std::filesystem::path& path, const std::string& where);

}  // namespace perisclera
