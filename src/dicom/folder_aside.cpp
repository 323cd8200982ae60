// SPDX-License-Identifier: Apache-2.0
#include "folder_aside.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <string_view>
#include <system_error>
#include <vector>

#include "output_error.h"

namespace perisclera {

namespace fs = std::filesystem;

namespace {

std::string beginning_of_name(const std::string& stem) { return "." + stem + ".partial-"; }

bool is_number(std::string_view text) {
    return !text.empty() && std::all_of(text.begin(), text.end(), [](char c) { return c >= '0' && c <= '9'; });
}

/// ".<stem>.partial-<number>-<number>" and nothing else.
bool is_name_of_ours(const std::string& name, const std::string& stem) {
    const std::string beginning = beginning_of_name(stem);
    if (!name.starts_with(beginning)) return false;
    const std::string_view rest = std::string_view(name).substr(beginning.size());
    const std::size_t dash = rest.find('-');
    return dash != std::string_view::npos && is_number(rest.substr(0, dash)) && is_number(rest.substr(dash + 1));
}

enum class Lock { held, taken_by_another, not_known_here };

Lock try_lock(int descriptor) {
    if (::flock(descriptor, LOCK_EX | LOCK_NB) == 0) return Lock::held;
    return errno == EWOULDBLOCK ? Lock::taken_by_another : Lock::not_known_here;
}

int open_folder(const fs::path& folder) { return ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC); }

/// Between the making of a folder and its locking, another run may have taken it for an abandoned one.
bool still_there(const fs::path& folder, int descriptor) {
    struct stat by_name {}, by_descriptor {};
    return ::stat(folder.c_str(), &by_name) == 0 && ::fstat(descriptor, &by_descriptor) == 0 && by_name.st_ino == by_descriptor.st_ino;
}

}  // namespace

Result<FolderAside> make_folder_aside(const fs::path& parent, const std::string& stem) {
    for (int n = 0; n < 1000; ++n) {
        const fs::path candidate = parent / (beginning_of_name(stem) + std::to_string(::getpid()) + "-" + std::to_string(n));
        // mkdir honours the umask, as mkdtemp would not.
        if (::mkdir(candidate.c_str(), 0777) != 0) {
            if (errno != EEXIST) return output_error("folder could not be created", errno);
            continue;
        }
        const int descriptor = open_folder(candidate);
        if (descriptor < 0) {
            const int reason = errno;
            if (reason == ENOENT) continue;   // another run has just removed it as an abandoned one
            ::rmdir(candidate.c_str());
            return output_error("folder could not be created", reason);
        }
        const Lock lock = try_lock(descriptor);
        if (lock == Lock::held && still_there(candidate, descriptor)) return FolderAside{candidate, descriptor};
        ::close(descriptor);
        if (lock == Lock::not_known_here) return FolderAside{candidate, -1};
    }
    return output_error("folder could not be created", EEXIST);
}

void remove_abandoned(const fs::path& parent, const std::string& stem) {
    std::error_code error;
    std::vector<fs::path> candidates;
    for (fs::directory_iterator entry(parent, error), end; !error && entry != end; entry.increment(error))
        if (is_name_of_ours(entry->path().filename().string(), stem)) candidates.push_back(entry->path());
    for (const fs::path& candidate : candidates) {
        const int descriptor = open_folder(candidate);
        if (descriptor < 0) continue;
        if (try_lock(descriptor) == Lock::held) fs::remove_all(candidate, error);
        ::close(descriptor);
    }
}

}  // namespace perisclera
