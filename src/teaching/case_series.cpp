// SPDX-License-Identifier: Apache-2.0
#include "perisclera/teaching/case_series.h"

#include <algorithm>

#include "perisclera/assemble/content_digest.h"

namespace perisclera::teaching {

namespace {

/// Of a series that holds several stacks, the one that became this volume.
const SliceStack* stack_of(const PatientCatalogue& catalogue, const ImageSeries& images) {
    const VolumeGeometry& wanted = images.grid().geometry();
    for (const CataloguePatient& patient : catalogue.patients)
        for (const CatalogueStudy& study : patient.studies)
            for (const CatalogueSeries& series : study.series)
                if (series.stack && series.description.series_uid == images.description.series_uid && series.stack->geometry().size() == wanted.size() &&
                    series.stack->geometry().origin() == wanted.origin())
                    return &*series.stack;
    return nullptr;
}

}  // namespace

Result<std::vector<CaseSeries>> match_images(const FinishedResult& result, const PatientCatalogue& catalogue, const PatientStudies& patient) {
    std::vector<ResultSeries> wanted = result.series;
    std::vector<CaseSeries> found;
    bool other_content = false;
    for (std::size_t v = 0; v < patient.visits.size(); ++v)
        for (const ImageSeries& images : patient.visits[v].series) {
            const auto of_series = [&](const ResultSeries& s) { return s.uid == images.description.series_uid; };
            if (std::none_of(wanted.begin(), wanted.end(), of_series)) continue;
            const std::string digest = content_digest(images.grid());
            const auto match = std::find_if(wanted.begin(), wanted.end(), [&](const ResultSeries& s) { return of_series(s) && s.digest == digest; });
            const SliceStack* const stack = stack_of(catalogue, images);
            if (match == wanted.end() || stack == nullptr) {
                other_content = true;
                continue;
            }
            wanted.erase(match);
            found.push_back({images, *stack, v});
        }
    if (!wanted.empty() && other_content)
        return Error{ErrorCode::conflicting_values, "the images are not those of the result: a series has other content", "inputs", "give the images that the result was made from"};
    if (!wanted.empty())
        return Error{ErrorCode::no_images, std::to_string(wanted.size()) + " of the " + std::to_string(result.series.size()) + " series that the result used are missing", "inputs",
                     "give the images that the result was made from"};
    if (2 * patient.visits.size() != result.findings.size())
        return Error{ErrorCode::conflicting_values, "the images are of other dates than the result", "inputs", "give the images that the result was made from"};
    return found;
}

}  // namespace perisclera::teaching
