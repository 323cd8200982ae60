// SPDX-License-Identifier: Apache-2.0
#include "perisclera/assemble/load_patient.h"

#include <algorithm>

#include "decimals.h"
#include "perisclera/assemble/series_role.h"
#include "perisclera/ingest/read_pixels.h"

namespace perisclera {

namespace {

Result<const CataloguePatient*> choose_patient(const PatientCatalogue& catalogue, std::optional<int> wanted) {
    const auto& patients = catalogue.patients;
    const std::string count = std::to_string(patients.size());
    if (patients.empty()) return Error{ErrorCode::no_images, "no patient", "inputs", "give the folder that holds the DICOM images"};
    if (!wanted && patients.size() > 1)
        return Error{ErrorCode::mixed_patients, "the inputs hold images of " + count + " patients", "inputs",
                     "choose one with --patient N; the survey command lists them"};
    const int number = wanted.value_or(1);
    if (number < 1 || static_cast<std::size_t>(number) > patients.size())
        return Error{ErrorCode::usage, "there is no patient " + std::to_string(number), "inputs", "choose from 1 to " + count};
    return &patients[static_cast<std::size_t>(number) - 1];
}

std::string counted(std::uint64_t count, const char* one, const char* several) { return std::to_string(count) + (count == 1 ? one : several); }

std::vector<std::string> in_words(const PixelTally& tally) {
    std::vector<std::string> words;
    if (tally.padded > 0) words.push_back(counted(tally.padded, " pixel is", " pixels are") + " padding and taken as air");
    if (tally.saturated > 0) words.push_back(counted(tally.saturated, " pixel is", " pixels are") + " at the top of the scale, as metal is, and may be denser than stated");
    if (tally.surplus_bits > 0) words.push_back(counted(tally.surplus_bits, " pixel carries", " pixels carry") + " bits beyond those stored, which are ignored");
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
    if (description.modality == Modality::ct) return ImageSeries{std::move(description), CtVolume(std::move(grid))};
    return ImageSeries{std::move(description), MrVolume(std::move(grid))};
}

std::string stated_ratio(const CatalogueSeries& series) {
    double largest = 0.0;
    for (const SliceHeader& slice : series.stack->slices()) largest = std::max(largest, slice.lossy_ratio.value_or(0.0));
    return largest > 0.0 ? " by a factor of " + two_decimals(largest) : "";
}

}  // namespace

Result<PatientStudies> load_patient(const PatientCatalogue& catalogue, const LoadOptions& options) {
    const auto chosen = choose_patient(catalogue, options.patient);
    if (!chosen) return chosen.error();
    const CataloguePatient& patient = *chosen.value();

    int total = 0, done = 0;
    for (const auto& study : patient.studies)
        for (const auto& series : study.series)
            if (series.usable()) total += series.images;

    PatientStudies result{patient.name, patient.id, {}, catalogue.warnings};
    std::optional<Error> first_error;
    bool any_loaded = false;
    const auto refuse = [&](Visit& visit, const CatalogueSeries& series, const Error& error) {
        if (!first_error) first_error = error;
        result.warnings.push_back(error);
        visit.unused.push_back(series.description);
    };
    for (const CatalogueStudy& study : patient.studies) {
        Visit visit{study.date, {}, {}};
        for (const CatalogueSeries& series : study.series) {
            const bool measured = is_measured(series.description.role);
            if (!measured) {
                visit.unused.push_back(series.description);
            } else if (series.error) {
                refuse(visit, series, *series.error);
            } else if (auto loaded = load_series(series, options.threads)) {
                if (series.description.lossy)
                    result.warnings.push_back({ErrorCode::lossy_compression, "numbers come from images compressed with loss" + stated_ratio(series),
                                               "series " + std::to_string(series.number), "use the original images if they still exist"});
                if (series.stack->cut()) result.warnings.push_back(*series.stack->cut());
                visit.series.push_back(std::move(loaded).value());
                any_loaded = true;
            } else {
                refuse(visit, series, loaded.error());
            }
            if (series.usable() && options.progress) options.progress(done += series.images, total);
        }
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
