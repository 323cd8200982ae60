// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <set>
#include <system_error>
#include <tuple>

#include "parse_file.h"
#include "perisclera/core/limits.h"
#include "perisclera/ingest/dicom_values.h"

namespace perisclera {

namespace {

namespace fs = std::filesystem;

struct FoundFiles {
    std::vector<fs::path> files;        ///< regular files, each once, sorted
    std::set<fs::path> named_directly;  ///< given as an input, not found in a folder
    std::vector<Error> unreadable;      ///< folders that could not be opened
    int not_files = 0;
    bool too_many = false;
};

/// The same file reached by two ways counts once.
fs::path canonical_or_self(const fs::path& path) {
    std::error_code problem;
    const fs::path canonical = fs::canonical(path, problem);
    return problem ? path : canonical;
}

void search_folder(const fs::path& folder, FoundFiles& found) {
    std::error_code problem;
    // Links to folders are not followed, so there are no loops.
    fs::recursive_directory_iterator entry(folder, fs::directory_options::none, problem), end;
    for (; !problem && entry != end; entry.increment(problem)) {
        std::error_code ignored;
        if (entry->is_symlink(ignored) && entry->is_directory(ignored)) {
            ++found.not_files;
        } else if (entry->is_regular_file(ignored)) {
            found.files.push_back(canonical_or_self(entry->path()));
            if (found.files.size() > limits::files_per_run) {
                found.too_many = true;
                return;
            }
        } else if (!entry->is_directory(ignored)) {
            ++found.not_files;
        }
    }
    if (problem)
        found.unreadable.push_back(
            {ErrorCode::cannot_read, "a folder cannot be searched (" + problem.message() + ")", "inputs", "check the folder's rights"});
}

bool named_as_dicom(const fs::path& path) { return upper_case(path.extension().string()) == ".DCM"; }

bool is_archive(const fs::path& path) { return upper_case(path.extension().string()) == ".ZIP"; }

}  // namespace

Result<FileSet> scan_inputs(std::vector<fs::path> inputs) {
    FoundFiles found;
    for (std::size_t i = 0; i < inputs.size(); ++i) {
        const std::string where = "input " + std::to_string(i + 1) + " of " + std::to_string(inputs.size());
        std::error_code problem;
        const fs::file_status status = fs::status(inputs[i], problem);
        if (!fs::exists(status)) return Error{ErrorCode::no_images, "does not exist", where, "check the path"};
        if (fs::is_directory(status)) {
            search_folder(inputs[i], found);
        } else if (fs::is_regular_file(status)) {
            found.files.push_back(canonical_or_self(inputs[i]));
            found.named_directly.insert(found.files.back());
        } else {
            ++found.not_files;
        }
        if (found.too_many || found.files.size() > limits::files_per_run)
            return Error{ErrorCode::limit_reached, "more than " + std::to_string(limits::files_per_run) + " files", where,
                         "give one patient's folder"};
    }
    std::sort(found.files.begin(), found.files.end());
    found.files.erase(std::unique(found.files.begin(), found.files.end()), found.files.end());

    FileSet set;
    set.not_files = found.not_files;
    set.files_looked_at = static_cast<int>(found.files.size());
    for (Error& error : found.unreadable) set.refused.push_back({std::move(error), {}});
    for (std::size_t i = 0; i < found.files.size(); ++i) {
        const fs::path& path = found.files[i];
        const std::string where = "file " + std::to_string(i + 1) + " of " + std::to_string(found.files.size());
        if (is_archive(path)) {
            set.refused.push_back({{ErrorCode::unsupported_encoding, "zip archives are not opened", where, "unpack it and give the folder"}, {}});
            continue;
        }
        ParsedFile parsed = parse_file(path, where);
        if (auto* slice = std::get_if<SliceHeader>(&parsed)) {
            set.slices.push_back(std::move(*slice));
        } else if (auto* object = std::get_if<IgnoredObject>(&parsed)) {
            ++set.ignored_objects[object->kind];
        } else {
            auto& refused = std::get<RefusedFile>(parsed);
            std::error_code problem;
            // Notes and pictures beside the images are no fault; a file that calls itself DICOM, or is empty, is one.
            const bool expected_dicom = named_as_dicom(path) || found.named_directly.contains(path) || fs::file_size(path, problem) == 0;
            if (refused.error.code == ErrorCode::not_dicom) ++set.not_dicom;
            if (refused.error.code != ErrorCode::not_dicom || expected_dicom) set.refused.push_back(std::move(refused));
        }
    }
    std::sort(set.slices.begin(), set.slices.end(),
              [](const SliceHeader& a, const SliceHeader& b) { return std::tie(a.sop_instance_uid, a.path) < std::tie(b.sop_instance_uid, b.path); });
    return set;
}

}  // namespace perisclera
