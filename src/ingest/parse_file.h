// SPDX-License-Identifier: Apache-2.0
#pragma once
// One file's bytes to its checked header.
#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "input_file.h"
#include "media_directory.h"
#include "perisclera/ingest/file_set.h"

namespace perisclera {

/// A sound DICOM object that holds no image for this program.
struct IgnoredObject {
    std::string kind;               ///< in words
    std::vector<ListedFile> lists;  ///< when it is a directory of a medium
};

/// Where a file's bytes come from.
struct FileOrigin {
    std::filesystem::path path;
    std::optional<std::uint64_t> archive_member;  ///< when the path is an archive
    std::string where;                            ///< for messages
    FileStamp stamp;                              ///< of the file, or of the archive
};

/// The slices of an image file: one, or those of its frames.
using ParsedFile = std::variant<std::vector<SliceHeader>, IgnoredObject, RefusedFile>;

ParsedFile parse_file(InputFile& file, const FileOrigin& origin);

}  // namespace perisclera
