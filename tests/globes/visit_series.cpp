// SPDX-License-Identifier: Apache-2.0
#include "visit_series.h"

#include "perisclera/alignment/eye_views.h"
#include "perisclera/assemble/load_patient.h"

namespace perisclera::globes {

Result<ReadVisit> read_visit(const bank::Bank& bank, const std::string& scenario) {
    const auto parsed = phantoms::parse_scenario(scenario);
    if (!parsed) return parsed.error();
    const auto images = bank.images_of(scenario);
    if (!images) return images.error();
    const auto truth = bank.truth_of(scenario);
    if (!truth) return truth.error();
    auto read = read_patient({images.value()}, {});
    if (!read) return read.error();
    ReadVisit visit{parsed.value().timepoints.front(), {}};
    for (const auto& made : truth.value()["timepoints"][0]["series"]) {
        visit.series.emplace_back();
        for (ImageSeries& series : read.value().visits.front().series)
            if (series.description.series_uid == made["series_uid"]) visit.series.back() = std::move(series);
    }
    return visit;
}

std::array<std::optional<Globe>, 2> globes_in(const ImageSeries& series) {
    const SeriesViews views = view_series(series, 0);
    std::array<std::optional<Globe>, 2> globes;
    for (const std::size_t eye : {0u, 1u})
        if (views.eye[eye]) globes[eye] = views.eye[eye]->block.globe();
    return globes;
}

}  // namespace perisclera::globes
