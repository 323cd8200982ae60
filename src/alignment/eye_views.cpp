// SPDX-License-Identifier: Apache-2.0
#include "perisclera/alignment/eye_views.h"

#include <cmath>

#include "perisclera/anatomy/series_quality.h"

namespace perisclera {

namespace {

/// More than this share of the border within the head is told: the chin rest and blankets of usual scans stay below.
constexpr double told_border = 0.25;

std::string border_in_words(double share, Modality modality) {
    return "the head reaches beyond the images on " + std::to_string(std::lround(100.0 * share)) + " % of their edge, near which " +
           (modality == Modality::ct ? "CT numbers may be off" : "signal may fold over");
}

}  // namespace

SeriesViews view_series(const ImageSeries& series, std::size_t index) {
    const VoxelGrid& grid = series.grid();
    const Modality modality = series.description.modality;
    const FoundGlobes found = find_globes(grid, modality);
    SeriesViews views;
    for (const Eye eye : both_eyes) {
        const auto& own = eye == Eye::right ? found.right : found.left;
        const auto& other = eye == Eye::right ? found.left : found.right;
        if (!own) continue;
        std::optional<PatientPoint> other_centre;
        if (other) other_centre = other->centre;
        const Globe globe = fit_globe(grid, modality, eye, *own, other_centre);
        for (std::string& words : in_words(globe_quality(grid, modality, globe), modality, globe)) views.problems.push_back(std::move(words));
        views.eye[eye == Eye::right ? 0 : 1].emplace(EyeView{index, modality, series.description.role, series.description.kvp.value_or(120.0), PolarBlock(grid, globe)});
    }
    if (const auto& any = found.right ? found.right : found.left) {
        const double cut = head_on_border(grid, modality, any->centre);
        if (cut > told_border) views.problems.push_back(border_in_words(cut, modality));
    }
    return views;
}

}  // namespace perisclera
