// SPDX-License-Identifier: Apache-2.0
#include "perisclera/alignment/eye_views.h"

namespace perisclera {

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
        views.eye[eye == Eye::right ? 0 : 1].emplace(EyeView{index, modality, series.description.role, series.description.kvp.value_or(120.0),
                                                             PolarBlock(grid, fit_globe(grid, modality, eye, *own, other_centre))});
    }
    return views;
}

}  // namespace perisclera
