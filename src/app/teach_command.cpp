// SPDX-License-Identifier: Apache-2.0
// The teach command: a finished result and its images in, a teaching file out. What it shows is made anew from the de-identified images.
#include <algorithm>
#include <cstdio>
#include <fstream>
#include <sstream>

#include "command_steps.h"
#include "commands.h"
#include "drawn_secret.h"
#include "key_file.h"
#include "owner_file.h"
#include "perisclera/assemble/load_patient.h"
#include "perisclera/ingest/file_set.h"
#include "perisclera/pipeline/identify.h"
#include "perisclera/report/json.h"
#include "perisclera/report/material_shares.h"
#include "perisclera/teaching/case_series.h"
#include "perisclera/teaching/deidentification_record.h"
#include "perisclera/teaching/drawn_text.h"
#include "perisclera/teaching/finished_result.h"
#include "perisclera/teaching/key_objects.h"
#include "perisclera/teaching/pages.h"
#include "perisclera/teaching/reidentification_key.h"

namespace perisclera::app {

namespace {

namespace fs = std::filesystem;

Result<std::string> text_of(const fs::path& path, std::uintmax_t most_bytes, const Error& refused) {
    std::error_code problem;
    const std::uintmax_t bytes = fs::is_regular_file(path, problem) ? fs::file_size(path, problem) : most_bytes + 1;
    if (problem || bytes > most_bytes) return refused;
    std::ifstream file(path, std::ios::binary);
    std::ostringstream text;
    text << file.rdbuf();
    if (!file) return refused;
    return text.str();
}

/// The case as read: what the images were, and what the result says of them.
struct Case {
    teaching::FinishedResult result;
    PatientCatalogue catalogue;
    PatientStudies patient;
    std::string history;
};

Result<Case> read_case(const Options& options, const Console& console) {
    constexpr std::uintmax_t largest_result = 64u << 20, largest_history = 1u << 20;
    const auto report = text_of(options.result / "report.json", largest_result, {ErrorCode::bad_value, "the result has no report.json that can be read", "result folder", "give the folder that identify or track wrote"});
    if (!report) return report.error();
    auto result = teaching::parse_result(report.value());
    if (!result) return result.error();
    std::string history;
    if (!options.history.empty()) {
        auto text = text_of(options.history, largest_history, {ErrorCode::usage, "the history cannot be read, or is longer than 1 MB", "--history", "name a readable text file"});
        if (!text) return text.error();
        history = std::move(text).value();
    }
    LoadOptions load;
    load.patient = options.patient;
    load.same_patient = result.value().same_patient;
    load.threads = thread_count(options);
    load.progress = [&](int done, int total) { console.progress("reading", done, total); };
    auto files = scan_inputs(options.inputs, load.threads);
    if (!files) return files.error();
    auto listed = catalogue(std::move(files).value());
    if (!listed) return listed.error();
    auto patient = load_patient(listed.value(), load);
    if (!patient) return patient.error();
    if (teaching::tells_who(history, patient.value().patient_name, patient.value().patient_id))
        return Error{ErrorCode::usage, "the history holds the patient's name or number", "--history", "take it out"};
    return Case{std::move(result).value(), std::move(listed).value(), std::move(patient).value(), std::move(history)};
}

/// Whole slices are looked at, what is cut away later included.
std::optional<Error> find_drawn_text(const std::vector<teaching::CaseSeries>& all, int threads, const Console& console) {
    int number = 0;
    for (const teaching::CaseSeries& series : all) {
        ++number;
        if (const auto slice = teaching::drawn_slice(series.images.grid(), threads))
            return Error{ErrorCode::bad_value, "text or lines seem to be drawn into the pixels", "series " + std::to_string(number) + " of the result, slice " + std::to_string(*slice + 1),
                         "look at it; export the series without text, or leave it out and identify again"};
        console.progress("looking for drawn text", number, static_cast<int>(all.size()));
    }
    return std::nullopt;
}

/// Writes the images below dicom/ and the record of what was done to them.
std::optional<Error> write_images(const Case& taught, const Options& options, const Console& console, OutputFolder& out, teaching::Replacements& replacements) {
    const auto matched = teaching::match_images(taught.result, taught.catalogue, taught.patient);
    if (!matched) return matched.error();
    const auto& all = matched.value();
    if (const auto error = find_drawn_text(all, thread_count(options), console)) return error;
    std::optional<Eye> eye;
    if (options.eye != "both") eye = options.eye == "right" ? Eye::right : Eye::left;
    const teaching::RegionLengths lengths;
    std::vector<teaching::OrbitRegion> regions;
    for (const teaching::CaseSeries& series : all) {
        auto region = teaching::orbit_region(series.images, eye, lengths);
        if (!region) return region.error();
        regions.push_back(std::move(region).value());
        console.progress("cutting down", static_cast<int>(regions.size()), static_cast<int>(all.size()));
    }
    const bool recognizable = std::any_of(regions.begin(), regions.end(), [](const teaching::OrbitRegion& r) { return r.face.kept_share() > teaching::recognizable_share; });
    teaching::AttributeFates fates;
    std::vector<teaching::SeriesRecord> records;
    for (std::size_t s = 0; s < all.size(); ++s) {
        const auto& description = all[s].images.description;
        const std::string folder = "dicom/t" + std::to_string(all[s].visit + 1) + "/series-" + std::to_string(s + 1) + "/";
        for (int slice = 0; slice < regions[s].size[2]; ++slice) {
            const auto bytes = teaching::deidentified_image(all[s], regions[s], {static_cast<int>(s) + 1, slice, recognizable, options.drop_overlays}, replacements, fates);
            if (!bytes) return bytes.error();
            char name[16];
            std::snprintf(name, sizeof name, "%04d.dcm", slice + 1);
            if (const auto written = out.write(folder + name, bytes.value()); !written) return written.error();
        }
        const auto of_series = [&](const teaching::ResultSeries& r) { return r.uid == description.series_uid; };
        const auto stated = std::find_if(taught.result.series.begin(), taught.result.series.end(), of_series);
        records.push_back({replacements.uid(description.series_uid), stated->digest, regions[s].size[2], all[s].images.grid().geometry().size(), regions[s].size, regions[s].face});
    }
    const auto written = out.write("deidentification.json", teaching::deidentification_json(records, fates, lengths, recognizable, options.drop_overlays));
    return written ? std::nullopt : std::optional(written.error());
}

bool is_within(const fs::path& path, const fs::path& folder) {
    std::error_code problem;
    const fs::path inner = fs::weakly_canonical(path, problem), outer = fs::weakly_canonical(folder, problem);
    return std::mismatch(outer.begin(), outer.end(), inner.begin(), inner.end()).first == outer.end();
}

}  // namespace

int teach_command(const Options& options, const Console& console) {
    if (const auto error = too_little_memory(thread_count(options))) return console.fail(*error);
    std::error_code problem;
    if (!options.key.empty() && is_within(options.key, options.out))
        return console.fail({ErrorCode::usage, "the key would lie within the teaching file", "--key", "name a place elsewhere, that is not passed on"});
    const auto old_key = options.key.empty() ? Result<std::optional<std::string>>(std::optional<std::string>()) : read_key_file(options.key);
    if (!old_key) return console.fail(old_key.error());
    Result<OutputFolder> out = open_output(options);
    if (!out) return console.fail(out.error());
    const Result<Case> read = read_case(options, console);
    if (!read) return console.fail(read.error());
    const Case& taught = read.value();
    const PatientText& patient_id = taught.patient.patient_id;
    Result<teaching::Replacements> kept = old_key.value() ? teaching::parse_key(*old_key.value(), patient_id) : teaching::Replacements(drawn_secret(), taught.patient.visits.front().date);
    if (!kept) return console.fail(kept.error());
    teaching::Replacements& replacements = kept.value();
    if (const auto error = write_images(taught, options, console, out.value(), replacements)) return console.fail(*error);

    // From here on nothing of the original takes part.
    LoadOptions load;
    load.threads = thread_count(options);
    Result<PatientStudies> again = read_patient({out.value().path() / "dicom"}, load);
    if (!again) return console.fail(again.error());
    PatientStudies& patient = again.value();
    std::erase_if(patient.warnings, [](const Error& w) { return w.code == ErrorCode::one_check_only; });  // the birth date is gone on purpose
    IdentifyOptions how;
    how.threads = thread_count(options);
    const std::string asked = taught.result.eye == "both" ? options.eye : taught.result.eye;
    if (asked != "both") how.eye = asked == "right" ? Eye::right : Eye::left;
    const auto& shares = taught.result.material_shares;
    if (shares) how.prior = shares->values;
    Result<report::ReportModel> found = identify(patient, how, [&](int done, int total) { console.progress("analysing", done, total); });
    if (!found) return console.fail(found.error());
    report::ReportModel& model = found.value();
    teaching::withhold_place_in_head(model);
    model.options = {{"eye", asked}, {"seed", static_cast<std::int64_t>(options.seed)}};
    if (shares) model.options.push_back({std::string(report::material_shares_option), report::write_material_shares(*shares)});
    const bool agrees = asked != taught.result.eye || teaching::findings_of(model) == taught.result.findings;
    if (!agrees)
        model.warnings.push_back({ErrorCode::incomplete, "the images cut down for teaching do not show the same as the whole ones", "teaching file", "read the answer against the original report before using it"});

    const auto seed = static_cast<std::uint64_t>(options.seed);
    if (const auto error = too_little_memory(threads_of_drawing)) return console.fail(*error);
    const auto question = teaching::question_files(model, patient, taught.history, seed);
    if (!question) return console.fail(question.error());
    const auto answer = teaching::answer_files(model, replacements.pseudonym(), seed);
    if (!answer) return console.fail(answer.error());
    const auto selections = teaching::key_object_selections(patient);
    if (!selections) return console.fail(selections.error());
    for (const auto* files : {&question.value(), &answer.value(), &selections.value()})
        for (const report::OutputFile& file : *files)
            if (const Result<Done> written = out.value().write(file.path, file.bytes); !written) return console.fail(written.error());
    const std::string told = std::string(teaching::caution) + "\nQuestion: " + (options.out / "question/question.html").string() + "\nAnswer: " + (options.out / "answer/answer.html").string() + "\n";
    if (const int status = console.result(options.json ? report::to_json(model) : told); status != 0) return status;
    if (!options.key.empty())
        if (const auto error = write_owner_file(options.key, teaching::key_json(replacements, patient_id))) return console.fail(*error);
    if (const auto error = commit(out.value())) {
        if (old_key.value())
            write_owner_file(options.key, *old_key.value());
        else if (!options.key.empty())
            fs::remove(options.key, problem);
        return console.fail(*error);
    }
    for (const Error& warning : model.warnings) console.warn(warning);
    return agrees ? 0 : 4;
}

}  // namespace perisclera::app
