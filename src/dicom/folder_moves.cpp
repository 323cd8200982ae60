// SPDX-License-Identifier: Apache-2.0
#include "folder_moves.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <system_error>
#include <vector>

#include "output_error.h"

namespace perisclera {

namespace fs = std::filesystem;

namespace {

int sync_reason(const fs::path& folder) {
    const int descriptor = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (descriptor < 0) return errno;
    const int reason = ::fsync(descriptor) == 0 || errno == EINVAL ? 0 : errno;
    ::close(descriptor);
    return reason;
}

int move_entry(const fs::path& from, const fs::path& to, unsigned flags) {
    return ::renameat2(AT_FDCWD, from.c_str(), AT_FDCWD, to.c_str(), flags) == 0 ? 0 : errno;
}

std::vector<fs::path> names_in(const fs::path& folder, std::error_code& error) {
    std::vector<fs::path> names;
    for (fs::directory_iterator entry(folder, error), end; !error && entry != end; entry.increment(error)) names.push_back(entry->path().filename());
    return names;
}

bool stands(const fs::path& path) {
    std::error_code ignored;
    return fs::exists(fs::symlink_status(path, ignored));
}

/// A second name for a file, or a folder of second names.
int link_entry(const fs::path& from, const fs::path& to) {
    struct stat status {};
    if (::lstat(from.c_str(), &status) != 0) return errno;
    if (!S_ISDIR(status.st_mode)) return ::linkat(AT_FDCWD, from.c_str(), AT_FDCWD, to.c_str(), 0) == 0 ? 0 : errno;
    if (::mkdir(to.c_str(), 0700) != 0) return errno;
    std::error_code error;
    for (const fs::path& name : names_in(from, error))
        if (const int reason = link_entry(from / name, to / name); reason != 0) return reason;
    if (error) return error.value();
    return ::chmod(to.c_str(), status.st_mode & 07777) == 0 ? sync_reason(to) : errno;
}

/// Gives `folder` second names of whatever `earlier` holds that it has not itself.
int link_kept(const fs::path& earlier, const fs::path& folder, std::vector<fs::path>& linked) {
    std::error_code error;
    for (const fs::path& name : names_in(earlier, error)) {
        if (stands(folder / name)) continue;
        linked.push_back(folder / name);
        if (const int reason = link_entry(earlier / name, folder / name); reason != 0) return reason;
    }
    struct stat status {};
    if (error) return error.value();
    if (::stat(earlier.c_str(), &status) != 0 || ::chmod(folder.c_str(), status.st_mode & 07777) != 0) return errno;
    return sync_reason(folder);
}

}  // namespace

Result<Done> sync_folder(const fs::path& folder) {
    if (const int reason = sync_reason(folder); reason != 0) return output_error("folder could not be written", reason);
    return Done{};
}

Result<Done> sync_folder_tree(const fs::path& folder) {
    std::error_code error;
    for (fs::recursive_directory_iterator entry(folder, error), end; !error && entry != end; entry.increment(error)) {
        if (!entry->is_directory(error) || entry->is_symlink(error)) continue;
        if (const auto synced = sync_folder(entry->path()); !synced) return synced.error();
    }
    if (error) return output_error("folder could not be written", error.value());
    return sync_folder(folder);
}

int place_folder(const fs::path& from, const fs::path& to) {
    const bool replaces_empty = stands(to);
    if (const int reason = move_entry(from, to, 0); reason != 0) return reason;
    const int reason = sync_reason(to.parent_path());
    if (reason != 0 && move_entry(to, from, 0) == 0 && replaces_empty) ::mkdir(to.c_str(), 0777);
    return reason;
}

int exchange_folders(const fs::path& from, const fs::path& to) {
    std::vector<fs::path> linked;
    int reason = link_kept(to, from, linked);
    if (reason == 0) reason = move_entry(from, to, RENAME_EXCHANGE);
    if (reason == 0) {
        reason = sync_reason(to.parent_path());
        if (reason == 0) return 0;
        move_entry(from, to, RENAME_EXCHANGE);
    }
    std::error_code ignored;
    for (const fs::path& name : linked) fs::remove_all(name, ignored);
    return reason;
}

int exchange_entries(const fs::path& from, const fs::path& to) {
    std::error_code error;
    const std::vector<fs::path> names = names_in(from, error);
    if (error) return error.value();
    struct Move {
        fs::path from, to;
        unsigned flags;
    };
    std::vector<Move> done;
    int reason = 0;
    for (const fs::path& name : names) {
        Move move{from / name, to / name, 0};
        if (stands(move.to)) move.flags = RENAME_EXCHANGE;
        reason = move_entry(move.from, move.to, move.flags);
        if (reason != 0) break;
        done.push_back(std::move(move));
    }
    if (reason == 0) reason = sync_reason(to);
    if (reason != 0)
        for (auto earlier = done.rbegin(); earlier != done.rend(); ++earlier) move_entry(earlier->to, earlier->from, earlier->flags);
    return reason;
}

}  // namespace perisclera
