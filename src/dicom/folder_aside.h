// SPDX-License-Identifier: Apache-2.0
#pragma once
// The folder that output is gathered in before it is moved into place, ".<stem>.partial-<process>-<n>". While its run lives, the
// run holds a lock on it, so that a later run can tell what a killed one left behind, and clears it away.
#include <filesystem>
#include <string>

#include "perisclera/core/result.h"

namespace perisclera {

struct FolderAside {
    std::filesystem::path path;
    int lock = -1;  ///< a descriptor; closing it gives the lock up. -1 where the file system has no locks.
};

/// Errors: output_failed.
Result<FolderAside> make_folder_aside(const std::filesystem::path& parent, const std::string& stem);

/// Removes from `parent` the folders of that name whose run has ended.
void remove_abandoned(const std::filesystem::path& parent, const std::string& stem);

}  // namespace perisclera
