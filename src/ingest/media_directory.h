// SPDX-License-Identifier: Apache-2.0
#pragma once
// What a DICOMDIR lists (PS3.3 annex F). The files beside it are found by searching its folder, so this serves to tell what is missing;
// the offsets by which its records point to each other are not followed.
#include <string>
#include <vector>

#include "input_file.h"
#include "perisclera/ingest/preflight.h"

namespace perisclera {

/// The parts of a path below the directory's folder, as written.
using ListedFile = std::vector<std::string>;

/// Empty where the directory did not pass the scan.
std::vector<ListedFile> listed_files(InputFile& file, const FileLayout& layout);

/// Does the path stay below the folder?
bool stays_inside(const ListedFile& listed);
/// Is the file there, under the name as written or in lower case, as some systems show it?
bool is_there(const std::filesystem::path& folder, const ListedFile& listed);

}  // namespace perisclera
