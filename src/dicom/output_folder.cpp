// SPDX-License-Identifier: Apache-2.0
#include "perisclera/dicom/output_folder.h"

#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cassert>
#include <cerrno>
#include <string>
#include <system_error>
#include <utility>

#include "folder_aside.h"
#include "folder_moves.h"
#include "output_error.h"
#include "perisclera/dicom/atomic_file.h"

namespace perisclera {

namespace fs = std::filesystem;

namespace {

bool on_same_device(const fs::path& a, const fs::path& b) {
    struct stat sa {}, sb {};
    return ::stat(a.c_str(), &sa) == 0 && ::stat(b.c_str(), &sb) == 0 && sa.st_dev == sb.st_dev;
}

/// The topmost folder on the way to `folder` that does not exist yet; empty if it exists.
fs::path first_missing(const fs::path& folder) {
    fs::path step;
    for (const auto& part : folder) {
        step /= part;
        std::error_code ignored;
        if (!fs::exists(step, ignored)) return step;
    }
    return {};
}

/// Removes the folders from `innermost` up to `topmost` as far as they are empty: another run may use them by now.
void remove_made(const fs::path& topmost, fs::path innermost) {
    if (topmost.empty()) return;
    while (::rmdir(innermost.c_str()) == 0 && innermost != topmost) innermost = innermost.parent_path();
}

Error not_empty(const std::string& what) { return {ErrorCode::output_not_empty, what, "output folder", "choose another folder, or add --force"}; }

bool holds_more_than(const fs::path& folder, const fs::path& one) {
    std::error_code error;
    for (fs::directory_iterator entry(folder, error), end; !error && entry != end; entry.increment(error))
        if (entry->path() != one) return true;
    return false;
}

}  // namespace

OutputFolder::OutputFolder(OutputFolder&& other) noexcept
    : aside_(std::exchange(other.aside_, fs::path{})),
      final_(std::exchange(other.final_, fs::path{})),
      first_made_(std::exchange(other.first_made_, fs::path{})),
      lock_(std::exchange(other.lock_, -1)),
      force_(other.force_) {}

OutputFolder::~OutputFolder() {
    std::error_code ignored;
    if (!aside_.empty()) fs::remove_all(aside_, ignored);
    remove_made(first_made_, final_.parent_path());
    if (lock_ >= 0) ::close(lock_);
}

Result<OutputFolder> OutputFolder::open(const fs::path& path, bool force) {
    std::error_code error;
    fs::path final = fs::absolute(path, error).lexically_normal();
    if (error) return output_error("folder could not be used", error.value());
    if (!final.has_filename()) final = final.parent_path();  // "out/" means "out"

    const bool exists = fs::exists(final, error);
    if (exists && !fs::is_directory(final, error)) return output_error("a file stands where the folder should be", ENOTDIR);
    if (exists) {
        final = fs::canonical(final, error);  // a link to a folder stays a link
        remove_abandoned(final, final.filename().string());
        const bool empty = !error && fs::is_empty(final, error);
        if (error) return output_error("folder could not be looked into", error.value());
        if (!empty && !force) return not_empty("the folder is not empty");
    }

    const fs::path parent = final.parent_path();
    fs::path made;
    if (!exists) {
        made = first_missing(parent);
        fs::create_directories(parent, error);
        if (error) {
            remove_made(made, parent);
            return output_error("folder could not be created", error.value());
        }
    }
    // Aside means beside, so that one rename finishes the work; a mount point, or a folder in a parent that cannot be
    // written, takes the work inside.
    const std::string stem = final.filename().string();
    remove_abandoned(parent, stem);
    auto aside = exists && !on_same_device(final, parent) ? make_folder_aside(final, stem) : make_folder_aside(parent, stem);
    if (!aside && exists) aside = make_folder_aside(final, stem);
    if (!aside) {
        remove_made(made, parent);
        return aside.error();
    }
    return OutputFolder(std::move(aside.value().path), aside.value().lock, std::move(final), std::move(made), force);
}

Result<Done> OutputFolder::write(const fs::path& relative_path, std::string_view bytes) {
    assert(!aside_.empty() && relative_path.is_relative());
    assert(std::find(relative_path.begin(), relative_path.end(), "..") == relative_path.end());
    const fs::path target = aside_ / relative_path;
    // Folders are made below the one aside, never that itself: once it is removed, nothing brings it back.
    fs::path folder = aside_;
    for (const auto& part : relative_path.parent_path()) {
        folder /= part;
        if (::mkdir(folder.c_str(), 0777) != 0 && errno != EEXIST) return output_error("folder could not be created", errno);
    }
    auto file = AtomicFile::create(target);
    if (!file) return file.error();
    if (const auto written = file.value().write(bytes); !written) return written.error();
    return file.value().commit();
}

Result<Done> OutputFolder::commit() {
    assert(!aside_.empty());
    if (const auto synced = sync_folder_tree(aside_); !synced) return synced.error();
    const bool inside = aside_.parent_path() == final_;
    if (!inside) {
        const int reason = place_folder(aside_, final_);
        if (reason == 0) {
            aside_.clear();
            first_made_.clear();
            return Done{};
        }
        if (reason != ENOTEMPTY && reason != EEXIST && reason != EBUSY) return output_error("output could not be moved into place", reason);
    }
    if (!force_ && holds_more_than(final_, inside ? aside_ : fs::path{})) return not_empty("the folder was filled while this run was under way");
    // Whoever stands in the folder stays in it: then its entries change, not the folder itself.
    std::error_code ignored;
    int reason = inside || fs::equivalent(final_, fs::current_path(ignored), ignored) ? EBUSY : exchange_folders(aside_, final_);
    if (reason == EBUSY || reason == EINVAL || reason == EPERM || reason == EMLINK || reason == EOPNOTSUPP) reason = exchange_entries(aside_, final_);
    if (reason != 0) return output_error("output could not be moved into place", reason);
    fs::remove_all(std::exchange(aside_, fs::path{}), ignored);  // holds what was replaced now
    first_made_.clear();
    return Done{};
}

}  // namespace perisclera
