// SPDX-License-Identifier: Apache-2.0
#pragma once
// Moves of whole folders that survive a loss of power: what a folder holds is on disk before the folder takes its place, and the
// place's own entry is on disk before the move counts as done. Source for the order: rename(2), fsync(2).
#include <filesystem>

#include "perisclera/core/result.h"

namespace perisclera {

/// Forces a folder's list of names to disk. A file system that knows no such thing is no error.
Result<Done> sync_folder(const std::filesystem::path& folder);
/// The same for a folder and all below it.
Result<Done> sync_folder_tree(const std::filesystem::path& folder);

/// `from` takes the place of `to`, which is missing or an empty folder, in one step. On failure both are as before.
/// 0, or the system's reason: ENOTEMPTY or EEXIST where `to` holds something.
int place_folder(const std::filesystem::path& from, const std::filesystem::path& to);

/// `from` takes the place of the folder `to` in one step and keeps what `to` holds under names of its own; `from` then names
/// what was replaced, for removal. On failure both are as before. 0, or the system's reason.
int exchange_folders(const std::filesystem::path& from, const std::filesystem::path& to);

/// The entries of `from` take their places in the folder `to` one by one; `from` then holds what was replaced. On failure the
/// moves are taken back. Not one step for an onlooker: for places that cannot be moved as a whole. 0, or the system's reason.
int exchange_entries(const std::filesystem::path& from, const std::filesystem::path& to);

}  // namespace perisclera
