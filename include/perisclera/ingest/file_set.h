// SPDX-License-Identifier: Apache-2.0
#pragma once
// From paths to checked image headers. Folders are searched recursively; names and order of files do not matter. Each file
// passes the preflight before the DICOM library sees it. Archives (.zip) are looked into, and a DICOMDIR stands for its folder. Nothing is
// ever written and no link to a folder is followed.
#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "perisclera/core/result.h"
#include "perisclera/ingest/slice_header.h"

namespace perisclera {

/// A file that is or should be DICOM and cannot be used.
struct RefusedFile {
    Error error;
    std::string series_uid;  ///< empty when the file could not tell
};

struct FileSet {
    std::vector<SliceHeader> slices;             ///< ordered by SOP instance UID, then path
    std::vector<RefusedFile> refused;            ///< in file order
    std::vector<Error> remarks;                  ///< what is odd about files that are used, in file order
    std::map<std::string, int> ignored_objects;  ///< DICOM objects that are no CT or MR image, by kind in words
    int files_looked_at = 0;
    int not_dicom = 0;
    int not_files = 0;  ///< pipes, devices, sockets, links to folders
};

/// By up to `threads` threads, which do not change the result.
/// Errors: no_images (an input is missing or holds no file), limit_reached (too many files). Unusable files are in `refused`.
Result<FileSet> scan_inputs(std::vector<std::filesystem::path> inputs, int threads = 1);

/// The folder that an input has searched: itself, or the one a DICOMDIR lies in. Nullopt for any other file.
std::optional<std::filesystem::path> searched_folder(const std::filesystem::path& input);

}  // namespace perisclera
