// SPDX-License-Identifier: Apache-2.0
// The teach command with --set: finished teaching files in, one set of them out.
#include <algorithm>
#include <charconv>
#include <map>
#include <set>

#include "command_steps.h"
#include "commands.h"
#include "perisclera/teaching/question.h"
#include "perisclera/teaching/teaching_set.h"

namespace perisclera::app {

namespace {

namespace fs = std::filesystem;
using teaching::Level;

/// "2=advanced", by number of the case.
Result<std::map<std::size_t, Level>> levels_of(const std::vector<std::string>& given, std::size_t cases) {
    const Error wrong{ErrorCode::usage, "a level is not given as the number of a case and a level, or twice for one case", "--level", "give it as 2=introductory, 2=intermediate or 2=advanced"};
    std::map<std::size_t, Level> levels;
    for (const std::string& text : given) {
        const std::size_t equals = std::min(text.find('='), text.size());
        std::size_t number = 0;
        const auto read = std::from_chars(text.data(), text.data() + equals, number);
        const std::string_view word = std::string_view(text).substr(std::min(equals + 1, text.size()));
        const auto level = std::find_if(teaching::all_levels.begin(), teaching::all_levels.end(), [&](Level l) { return word == teaching::name(l); });
        if (read.ec != std::errc{} || read.ptr != text.data() + equals || number < 1 || number > cases || level == teaching::all_levels.end() || !levels.emplace(number, *level).second) return wrong;
    }
    return levels;
}

/// The images as DICOM, of which teach saw to it that they tell nothing.
std::optional<Error> copy_images(const fs::path& from, const fs::path& to) {
    const Error missing{ErrorCode::bad_value, "the case's folder of DICOM images cannot be read", "teaching file", "give folders that teach wrote, or leave out --with-dicom"};
    std::error_code problem;
    std::size_t copied = 0;
    for (fs::recursive_directory_iterator entry(from, problem), end; !problem && entry != end; entry.increment(problem)) {
        if (!entry->is_regular_file(problem) || entry->path().extension() != ".dcm") continue;
        const fs::path target = to / entry->path().lexically_relative(from);
        std::error_code failed;
        fs::create_directories(target.parent_path(), failed);
        if (failed || !fs::copy_file(entry->path(), target, failed))
            return Error{ErrorCode::output_failed, "an image could not be copied", "--out", "look at the space and rights of the output folder"};
        ++copied;
    }
    return problem || copied == 0 ? std::optional(missing) : std::nullopt;
}

std::optional<Error> write_all(OutputFolder& out, const Result<std::vector<report::OutputFile>>& files) {
    if (!files) return files.error();
    for (const report::OutputFile& file : files.value())
        if (const Result<Done> written = out.write(file.path, file.bytes); !written) return written.error();
    return std::nullopt;
}

Result<report::GreyPixels> figure_of(const fs::path& folder, const std::string& path, const Options& options) {
    auto picture = teaching::read_figure(folder, path);
    if (!picture || !options.small) return picture;
    return teaching::in_few_greys(std::move(picture).value());
}

/// Reads one case and writes its files; `number` from 1. What is wrong with it is told by that number: its path may hold a name.
Result<teaching::SetCase> take_up(const fs::path& folder, std::size_t number, const Options& options, OutputFolder& out, std::set<std::string>& pictures) {
    auto read = teaching::read_teaching_case(folder);
    if (!read) return read.error();
    teaching::TeachingCase& one = read.value();
    if (!pictures.insert(teaching::digest_of_pictures(one)).second)
        return Error{ErrorCode::conflicting_values, "the case has the same pictures as one before it", "teaching file", "give each case once"};
    if (options.small)
        for (report::GreyPixels& picture : one.pictures) picture = teaching::in_few_greys(std::move(picture));
    teaching::SetCase kept{one.question, one.answer, teaching::level_of(one.answer)};
    const auto figure = [&](const std::string& path) { return figure_of(folder, path, options); };
    if (const auto error = write_all(out, teaching::set_case_files(one, figure, number, kept))) return *error;
    if (options.with_dicom)
        if (const auto error = copy_images(folder / "dicom", out.path() / "student" / ("case-" + std::to_string(number)) / "dicom")) return *error;
    return kept;
}

}  // namespace

int teach_set_command(const Options& options, const Console& console) {
    if (const auto error = too_little_memory(threads_of_drawing)) return console.fail(*error);
    const auto levels = levels_of(options.levels, options.set.size());
    if (!levels) return console.fail(levels.error());
    Options where = options;
    where.inputs = options.set;   // the set must not come to lie within a case
    Result<OutputFolder> out = open_output(where);
    if (!out) return console.fail(out.error());
    std::vector<teaching::SetCase> cases;
    std::set<std::string> pictures;
    for (const fs::path& folder : options.set) {
        const std::size_t number = cases.size() + 1;
        auto kept = take_up(folder, number, options, out.value(), pictures);
        if (!kept) {
            Error error = kept.error();
            if (error.where == "teaching file") error.where = "case " + std::to_string(number) + " of the set";
            return console.fail(error);
        }
        if (const auto level = levels.value().find(number); level != levels.value().end()) {
            kept.value().level = {level->second, {}};
            kept.value().level_by_teacher = true;
        }
        cases.push_back(std::move(kept).value());
        console.progress("taking up cases", static_cast<int>(number), static_cast<int>(options.set.size()));
    }
    const auto picture = [&](const teaching::PlateCell& cell) { return figure_of(options.set[cell.number - 1], cell.figure.plain, options); };
    if (const auto error = write_all(out.value(), teaching::set_files(cases, picture))) return console.fail(*error);
    const std::string told = std::string(teaching::caution) + "\nFor students: " + (options.out / "student/index.html").string() + "\nFor the teacher: " + (options.out / "teacher/index.html").string() + "\n";
    if (const int status = console.result(options.json ? teaching::set_json(cases) : told); status != 0) return status;
    if (const auto error = commit(out.value())) return console.fail(*error);
    return 0;
}

}  // namespace perisclera::app
