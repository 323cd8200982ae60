// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <iterator>
#include <set>
#include <system_error>

#include "archive.h"
#include "dicom_library.h"
#include "parse_file.h"
#include "perisclera/core/limits.h"
#include "perisclera/core/shared_work.h"
#include "perisclera/ingest/dicom_values.h"

namespace perisclera {

namespace {

namespace fs = std::filesystem;

struct FoundFiles {
    std::vector<fs::path> files;        ///< regular files, each once, sorted
    std::set<fs::path> named_directly;  ///< given as an input, not found in a folder
    std::vector<Error> not_taken;       ///< folders that could not be opened, inputs that are no files
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
    // Links to folders are not followed, so there are no loops, and below a canonical folder only links need to be resolved.
    fs::recursive_directory_iterator entry(canonical_or_self(folder), fs::directory_options::none, problem), end;
    for (; !problem && entry != end; entry.increment(problem)) {
        std::error_code ignored;
        const bool is_link = entry->is_symlink(ignored);
        if (is_link && entry->is_directory(ignored)) {
            ++found.not_files;
        } else if (entry->is_regular_file(ignored)) {
            found.files.push_back(is_link ? canonical_or_self(entry->path()) : entry->path());
            if (found.files.size() > limits::files_per_run) {
                found.too_many = true;
                return;
            }
        } else if (!entry->is_directory(ignored)) {
            ++found.not_files;
        }
    }
    if (problem)
        found.not_taken.push_back(
            {ErrorCode::cannot_read, "a folder cannot be searched (" + problem.message() + ")", "inputs", "check the folder's rights"});
}

bool ends_as(const fs::path& path, std::string_view ending) { return upper_case(path.extension().string()) == ending; }

/// The series a file belongs to, as far as it could tell.
std::string series_of(const ParsedFile& parsed) {
    if (const auto* slices = std::get_if<std::vector<SliceHeader>>(&parsed)) return slices->front().series_uid;
    const auto* refused = std::get_if<RefusedFile>(&parsed);
    return refused != nullptr ? refused->series_uid : "";
}

std::string counted(const std::string& what, std::size_t i, std::size_t of) { return what + " " + std::to_string(i + 1) + " of " + std::to_string(of); }

/// What became of one file.
struct LookedInto {
    FileOrigin origin;
    ParsedFile parsed;
    bool empty = false;
};

LookedInto look_into(InputFile& file, FileOrigin origin) {
    const bool empty = file.size() == 0;
    ParsedFile parsed = parse_file(file, origin);
    if (auto mishap = file.mishap(origin.where)) parsed = RefusedFile{std::move(*mishap), series_of(parsed)};
    return {std::move(origin), std::move(parsed), empty};
}

LookedInto look_into(const fs::path& path, const std::string& where) {
    auto file = InputFile::open(path, where);
    if (!file) return {{path, std::nullopt, where, {}}, RefusedFile{file.error(), {}}};
    const FileStamp stamp = file.value().stamp();
    return look_into(file.value(), {path, std::nullopt, where, stamp});
}

/// Each file by itself, so that threads can share them; archives are left out.
std::vector<std::optional<LookedInto>> look_into(const std::vector<fs::path>& files, int threads) {
    std::vector<std::optional<LookedInto>> result(files.size());
    share_tasks(threads, files.size(), [&](std::size_t i) {
        if (!ends_as(files[i], ".ZIP")) result[i] = look_into(files[i], counted("file", i, files.size()));
    });
    return result;
}

/// Fills a set file by file.
class Collector {
public:
    explicit Collector(FileSet& set) : set_(set) {}

    void take(LookedInto file, bool named_directly) {
        const FileOrigin& origin = file.origin;
        ParsedFile& parsed = file.parsed;
        if (auto* slices = std::get_if<std::vector<SliceHeader>>(&parsed)) {
            remark_on(slices->front(), origin.where);
            std::move(slices->begin(), slices->end(), std::back_inserter(set_.slices));
        } else if (auto* object = std::get_if<IgnoredObject>(&parsed)) {
            ++set_.ignored_objects[object->kind];
            if (!origin.archive_member) compare_with_listed(object->lists, origin);
        } else {
            auto& refused = std::get<RefusedFile>(parsed);
            // Notes and pictures beside the images are no fault; a file that calls itself DICOM, or is empty, is one.
            const bool expected_dicom = named_directly || file.empty;
            if (refused.error.code == ErrorCode::not_dicom) ++set_.not_dicom;
            if (refused.error.code != ErrorCode::not_dicom || expected_dicom) set_.refused.push_back(std::move(refused));
        }
    }

    /// Every member of an archive. False when there are more than a run may have.
    [[nodiscard]] bool take_archive(const fs::path& path, const std::string& where) {
        const FileStamp stamp = stamp_of(path).value_or(FileStamp{});
        const auto archive = Archive::open(path, where);
        if (!archive) {
            refuse(archive.error());
            return true;
        }
        const auto& members = archive.value().members();
        if (members.size() > limits::files_per_run - static_cast<std::uint64_t>(set_.files_looked_at)) return false;
        set_.files_looked_at += static_cast<int>(members.size());
        for (std::size_t i = 0; i < members.size(); ++i) {
            const FileOrigin origin{path, members[i].index, counted(where + ", archive member", i, members.size()), stamp};
            if (ends_as(members[i].name, ".ZIP")) {
                refuse({ErrorCode::unsupported_encoding, "archives inside archives are not opened", origin.where, "unpack the archive and give the folder"});
                continue;
            }
            auto bytes = archive.value().read(members[i].index, origin.where);
            if (!bytes) {
                refuse(bytes.error());
                continue;
            }
            InputFile file(std::move(bytes).value());
            take(look_into(file, origin), ends_as(members[i].name, ".DCM"));
        }
        return true;
    }

private:
    void refuse(Error error) { set_.refused.push_back({std::move(error), {}}); }

    /// What a medium's directory lists and what there is.
    void compare_with_listed(const std::vector<ListedFile>& listed, const FileOrigin& origin) {
        const auto outside = std::count_if(listed.begin(), listed.end(), [](const ListedFile& file) { return !stays_inside(file); });
        const auto missing = std::count_if(listed.begin(), listed.end(), [&](const ListedFile& file) { return stays_inside(file) && !is_there(origin.path.parent_path(), file); });
        if (missing + outside == 0) return;
        std::string what = "the directory lists " + std::to_string(listed.size()) + " files";
        if (missing > 0) what += ", missing of them " + std::to_string(missing);
        if (outside > 0) what += ", outside its folder and not followed " + std::to_string(outside);
        set_.remarks.push_back({ErrorCode::cannot_read, what, origin.where, "copy the whole medium again"});
    }

    void remark_on(const SliceHeader& slice, const std::string& where) {
        const FileLayout& layout = slice.layout;
        const std::string hint = "export the file again from the archive";
        if (layout.suspicious_preamble)
            set_.remarks.push_back({ErrorCode::suspicious_preamble, "begins like a program, a script or an archive, which DICOM allows and viruses use", where, hint});
        if (layout.zero_padded) set_.remarks.push_back({ErrorCode::trailing_bytes, "is padded with zeros after its pixels, which are not read", where, hint});
        if (layout.wrong_length) set_.remarks.push_back({ErrorCode::conflicting_values, "states a wrong length for its first group or for a delimiter, which changes nothing that is read", where, hint});
        if (!layout.media_instance_uid.empty() && layout.media_instance_uid != slice.sop_instance_uid)
            set_.remarks.push_back({ErrorCode::conflicting_values, "states two identifiers for one image", where, hint});
        // The standard leaves no room above or below (PS3.5 8.1.1); older files may have some.
        if (slice.pixels.high_bit != slice.pixels.bits_stored - 1)
            set_.remarks.push_back({ErrorCode::bad_pixel_format, "stores its pixels in other bits than the lowest", where, hint});
        if (layout.out_of_order) set_.remarks.push_back({ErrorCode::out_of_order, "states its attributes out of order or repeats one, which changes nothing that is read", where, hint});
        if (layout.stated_twice)
            set_.remarks.push_back({ErrorCode::conflicting_values, "states an attribute that is not used twice, with different values", where, hint});
    }

    FileSet& set_;
};

Error too_many_files(const std::string& where) {
    return {ErrorCode::limit_reached, "more than " + std::to_string(limits::files_per_run) + " files", where, "give one patient's folder"};
}

}  // namespace

std::optional<fs::path> searched_folder(const fs::path& input) {
    std::error_code problem;
    if (fs::is_directory(input, problem)) return input;
    // What lies beside a directory file is found by looking, so what it says need not be right.
    if (fs::is_regular_file(input, problem) && upper_case(input.filename().string()) == "DICOMDIR") return canonical_or_self(input).parent_path();
    return std::nullopt;
}

Result<FileSet> scan_inputs(std::vector<fs::path> inputs, int threads) {
    prepare_dicom_library();
    FoundFiles found;
    for (std::size_t i = 0; i < inputs.size(); ++i) {
        const std::string where = counted("input", i, inputs.size());
        std::error_code problem;
        const fs::file_status status = fs::status(inputs[i], problem);
        if (!fs::exists(status)) return Error{ErrorCode::no_images, "does not exist", where, "check the path"};
        if (const auto folder = searched_folder(inputs[i])) {
            search_folder(*folder, found);
        } else if (fs::is_regular_file(status)) {
            found.files.push_back(canonical_or_self(inputs[i]));
            found.named_directly.insert(found.files.back());
        } else {
            ++found.not_files;
            found.not_taken.push_back({ErrorCode::not_a_file, "is neither a file nor a folder", where, "give DICOM files or folders of them"});
        }
        if (found.too_many || found.files.size() > limits::files_per_run) return too_many_files(where);
    }
    std::sort(found.files.begin(), found.files.end());
    found.files.erase(std::unique(found.files.begin(), found.files.end()), found.files.end());

    FileSet set;
    set.not_files = found.not_files;
    if (found.not_files > 0)
        set.remarks.push_back({ErrorCode::not_a_file, "pipes, devices, sockets or links to folders are passed by: " + std::to_string(found.not_files), "inputs", "give the files themselves"});
    set.files_looked_at = static_cast<int>(found.files.size());
    for (Error& error : found.not_taken) set.refused.push_back({std::move(error), {}});
    Collector collector(set);
    auto looked_into = look_into(found.files, threads);
    std::size_t slices = 0;
    for (const auto& file : looked_into)
        if (const auto* of_file = file ? std::get_if<std::vector<SliceHeader>>(&file->parsed) : nullptr) slices += of_file->size();
    set.slices.reserve(slices);
    for (std::size_t i = 0; i < found.files.size(); ++i) {
        const fs::path& path = found.files[i];
        const std::string where = counted("file", i, found.files.size());
        if (looked_into[i])
            collector.take(*std::move(looked_into[i]), found.named_directly.contains(path) || ends_as(path, ".DCM"));
        else if (!collector.take_archive(path, where))
            return too_many_files(where);
    }
    std::sort(set.slices.begin(), set.slices.end(), by_identifier);
    return set;
}

}  // namespace perisclera
