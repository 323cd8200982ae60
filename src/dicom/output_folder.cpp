// SPDX-License-Identifier: Apache-2.0
#include "perisclera/dicom/output_folder.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cassert>
#include <cerrno>
#include <cstdio>
#include <string>
#include <system_error>
#include <utility>
#include <vector>

#include "output_error.h"
#include "perisclera/dicom/atomic_file.h"

namespace perisclera {

namespace fs = std::filesystem;

namespace {

/// A new folder ".<stem>.partial-<process>-<n>" in `parent`; mkdir honours the umask, as mkdtemp would not.
Result<fs::path> make_folder_aside(const fs::path& parent, const std::string& stem) {
    for (int n = 0; n < 1000; ++n) {
        fs::path candidate = parent / ("." + stem + ".partial-" + std::to_string(::getpid()) + "-" + std::to_string(n));
        if (::mkdir(candidate.c_str(), 0777) == 0) return candidate;
        if (errno != EEXIST) return output_error("folder could not be created", errno);
    }
    return output_error("folder could not be created", EEXIST);
}

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

}  // namespace

OutputFolder::OutputFolder(OutputFolder&& other) noexcept
    : aside_(std::exchange(other.aside_, fs::path{})),
      final_(std::exchange(other.final_, fs::path{})),
      first_made_(std::exchange(other.first_made_, fs::path{})) {}

OutputFolder::~OutputFolder() {
    std::error_code ignored;
    if (!aside_.empty()) fs::remove_all(aside_, ignored);
    if (!first_made_.empty()) fs::remove_all(first_made_, ignored);
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
        const bool empty = !error && fs::is_empty(final, error);
        if (error) return output_error("folder could not be looked into", error.value());
        if (!empty && !force)
            return Error{ErrorCode::output_not_empty, "the folder is not empty", "output folder", "choose another folder, or add --force"};
    }

    const fs::path parent = final.parent_path();
    fs::path made;
    if (!exists) {
        made = first_missing(parent);
        fs::create_directories(parent, error);
        if (error) {
            std::error_code ignored;
            if (!made.empty()) fs::remove_all(made, ignored);
            return output_error("folder could not be created", error.value());
        }
    }
    // Aside means beside, so that one rename finishes the work; a mount point, or a folder in a parent that cannot be
    // written, takes the work inside.
    const std::string stem = final.filename().string();
    auto aside = exists && !on_same_device(final, parent) ? make_folder_aside(final, stem) : make_folder_aside(parent, stem);
    if (!aside && exists) aside = make_folder_aside(final, stem);
    if (!aside) {
        std::error_code ignored;
        if (!made.empty()) fs::remove_all(made, ignored);
        return aside.error();
    }
    return OutputFolder(std::move(aside).value(), std::move(final), std::move(made));
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
    // A rename onto a missing or an empty folder is one step for every onlooker.
    const bool inside = aside_.parent_path() == final_;
    if (!inside && ::rename(aside_.c_str(), final_.c_str()) == 0) {
        aside_.clear();
        first_made_.clear();
        return Done{};
    }
    if (!inside && errno != ENOTEMPTY && errno != EEXIST && errno != EBUSY) return output_error("output could not be moved into place", errno);
    const auto exchanged = exchange_entries();
    if (exchanged) first_made_.clear();
    return exchanged;
}

Result<Done> OutputFolder::exchange_entries() {
    std::error_code error;
    std::vector<fs::path> names;
    for (fs::directory_iterator entry(aside_, error), end; !error && entry != end; entry.increment(error)) names.push_back(entry->path().filename());
    if (error) return output_error("output could not be moved into place", error.value());

    struct Move {
        fs::path from, to;
        unsigned flags;
    };
    std::vector<Move> done;
    for (const auto& name : names) {
        Move move{aside_ / name, final_ / name, 0};
        if (fs::exists(fs::symlink_status(move.to, error))) move.flags = RENAME_EXCHANGE;
        if (::renameat2(AT_FDCWD, move.from.c_str(), AT_FDCWD, move.to.c_str(), move.flags) != 0) {
            const int reason = errno;
            for (auto earlier = done.rbegin(); earlier != done.rend(); ++earlier)
                ::renameat2(AT_FDCWD, earlier->to.c_str(), AT_FDCWD, earlier->from.c_str(), earlier->flags);
            return output_error("output could not be moved into place", reason);
        }
        done.push_back(std::move(move));
    }
    fs::remove_all(std::exchange(aside_, fs::path{}), error);  // holds the replaced entries now
    return Done{};
}

}  // namespace perisclera
