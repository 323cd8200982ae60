// SPDX-License-Identifier: Apache-2.0
#include "perisclera/assemble/load_patient.h"

#include <algorithm>
#include <map>
#include <string_view>

#include "decimals.h"
#include "one_person.h"
#include "perisclera/assemble/series_role.h"
#include "perisclera/core/text.h"
#include "perisclera/ingest/read_pixels.h"

namespace perisclera {

namespace {

std::string counted(std::uint64_t count, const char* one, const char* several) { return std::to_string(count) + (count == 1 ? one : several); }

/// "patient 1 (2 dates, 5 series)"
std::string in_words(const CataloguePatient& patient) {
    std::size_t series = 0;
    for (const CatalogueStudy& study : patient.studies) series += study.series.size();
    return "patient " + std::to_string(patient.number) + " (" + counted(patient.studies.size(), " date, ", " dates, ") + std::to_string(series) + " series)";
}

std::string in_words(const std::vector<CataloguePatient>& patients) {
    constexpr std::size_t named = 6;
    std::string text;
    for (std::size_t k = 0; k < std::min(named, patients.size()); ++k) text += (k == 0 ? "" : ", ") + in_words(patients[k]);
    return patients.size() > named ? text + ", ..." : text;
}

Result<CataloguePatient> choose_patient(const PatientCatalogue& catalogue, const LoadOptions& options) {
    const auto& patients = catalogue.patients;
    const std::string count = std::to_string(patients.size());
    if (patients.empty()) return Error{ErrorCode::no_images, "no patient", "inputs", "give the folder that holds the DICOM images"};
    if (options.same_patient && options.patient) return Error{ErrorCode::usage, "--patient and --same-patient exclude each other", "options", "give one of them"};
    if (options.same_patient) return joined(patients);
    if (!options.patient && patients.size() > 1)
        return Error{ErrorCode::mixed_patients, "the inputs hold images of " + count + " patients: " + in_words(patients), "inputs",
                     "choose one with --patient N, or say --same-patient if they are one person"};
    const int number = options.patient.value_or(1);
    if (number < 1 || static_cast<std::size_t>(number) > patients.size())
        return Error{ErrorCode::usage, "there is no patient " + std::to_string(number), "inputs", "choose from 1 to " + count};
    return patients[static_cast<std::size_t>(number) - 1];
}

std::vector<std::string> in_words(const PixelTally& tally) {
    std::vector<std::string> words;
    const auto tell = [&](std::uint64_t count, std::string_view one, std::string_view several) {
        if (count > 0) words.push_back(say(count == 1 ? one : several, {{"count", std::to_string(count)}}));
    };
    tell(tally.padded, "series_problem.padded_pixel", "series_problem.padded_pixels");
    tell(tally.saturated, "series_problem.saturated_pixel", "series_problem.saturated_pixels");
    tell(tally.surplus_bits, "series_problem.surplus_bits_pixel", "series_problem.surplus_bits_pixels");
    return words;
}

Result<ImageSeries> load_series(const CatalogueSeries& series, int threads) {
    const SliceStack& stack = *series.stack;
    const auto size = stack.geometry().size();
    std::vector<float> values(static_cast<std::size_t>(size[0]) * static_cast<std::size_t>(size[1]) * static_cast<std::size_t>(size[2]));
    const auto read = read_stack(stack.slices(), values, threads);
    if (!read) return read.error();
    VoxelGrid grid(stack.geometry(), std::move(values));
    SeriesDescription description = series.description;
    for (std::string& words : in_words(read.value())) description.problems.push_back(std::move(words));
    std::vector<SourceSlice> slices;
    for (const SliceHeader& s : stack.slices()) slices.push_back({s.sop_class_uid, s.sop_instance_uid, s.frame + 1, s.frames, s.plane});
    if (description.modality == Modality::ct) return ImageSeries{std::move(description), CtVolume(std::move(grid)), std::move(slices)};
    return ImageSeries{std::move(description), MrVolume(std::move(grid)), std::move(slices)};
}

Error compressed_with_loss(const CatalogueSeries& series) {
    double ratio = 0.0;
    for (const SliceHeader& slice : series.stack->slices()) ratio = std::max(ratio, slice.lossy_ratio.value_or(0.0));
    return Error{ErrorCode::lossy_compression, "numbers come from images compressed with loss" + (ratio > 0.0 ? " by a factor of " + two_decimals(ratio) : ""),
                 "series " + std::to_string(series.number), "use the original images if they still exist"};
}

}  // namespace

Result<PatientStudies> load_patient(const PatientCatalogue& catalogue, const LoadOptions& options) {
    const auto chosen = choose_patient(catalogue, options);
    if (!chosen) return chosen.error();
    const CataloguePatient& patient = chosen.value();

    int total = 0, done = 0;
    for (const auto& study : patient.studies)
        for (const auto& series : study.series)
            if (series.usable()) total += series.images;

    PatientStudies result{patient.name, patient.id, {}, catalogue.warnings};
    if (options.same_patient && catalogue.patients.size() > 1)
        result.warnings.push_back(Error{ErrorCode::joined_patients, "images under " + std::to_string(catalogue.patients.size()) + " patient numbers were taken for one person, as asked for", "inputs",
                                        "make sure that all images are of this patient"});
    if (auto unconfirmed = missing_second_check(patient)) result.warnings.push_back(*std::move(unconfirmed));
    std::optional<Error> first_error;
    bool any_loaded = false;
    const auto refuse = [&](Visit& visit, const CatalogueSeries& series, const Error& error) {
        if (!first_error) first_error = error;
        result.warnings.push_back(error);
        visit.unused.push_back(series.description);
    };
    for (const CatalogueStudy& study : patient.studies) {
        Visit visit{study.date, {}, {}};
        std::map<std::string, StudyFiling> filings;
        for (const CatalogueSeries& series : study.series) {
            if (series.stack) filings.try_emplace(series.description.study_uid, series.stack->slices().front().filing);
            if (is_silent(series.description) && series.stack) {
                // Whether it is of use is seen in its images; if they cannot be read it is not.
                if (auto loaded = load_series(series, options.threads))
                    visit.series.push_back(std::move(loaded).value()), any_loaded = true;
                else
                    visit.unused.push_back(series.description);
            } else if (!is_measured(series.description.role)) {
                visit.unused.push_back(series.description);
            } else if (series.error) {
                refuse(visit, series, *series.error);
            } else if (auto loaded = load_series(series, options.threads)) {
                if (series.description.lossy) result.warnings.push_back(compressed_with_loss(series));
                if (series.stack->cut()) result.warnings.push_back(*series.stack->cut());
                visit.series.push_back(std::move(loaded).value());
                any_loaded = true;
            } else {
                refuse(visit, series, loaded.error());
            }
            if (series.usable() && options.progress) options.progress(done += series.images, total);
        }
        for (auto& [uid, filing] : filings) visit.studies.push_back(std::move(filing));
        result.visits.push_back(std::move(visit));
    }
    if (any_loaded) return result;
    if (first_error) return *first_error;
    if (!catalogue.warnings.empty()) return catalogue.warnings.front();
    return Error{ErrorCode::no_images, "no series whose role is known and measured", "inputs", "the survey command tells the role of each series"};
}

Result<PatientStudies> read_patient(std::vector<std::filesystem::path> inputs, const LoadOptions& options) {
    auto files = scan_inputs(std::move(inputs), options.threads);
    if (!files) return files.error();
    const auto listed = catalogue(std::move(files).value());
    if (!listed) return listed.error();
    return load_patient(listed.value(), options);
}

}  // namespace perisclera
