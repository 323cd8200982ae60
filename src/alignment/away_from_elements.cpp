// SPDX-License-Identifier: Apache-2.0
#include "perisclera/alignment/away_from_elements.h"

#include <algorithm>
#include <utility>

#include "perisclera/core/shared_work.h"

namespace perisclera {

namespace {

struct Refitted {
    EyeView* view;
    const VoxelGrid* shown;
    const Globe* fellow;
    Globe globe;   ///< as it was, then as it lies away from the elements
};

std::vector<Refitted> views_of(std::vector<SeriesViews>& visit, const std::vector<const VoxelGrid*>& grids, std::size_t which, bool fellow_is_free) {
    std::vector<Refitted> eyes;
    for (std::size_t s = 0; s < visit.size(); ++s) {
        auto& view = visit[s].eye[which];
        if (!view || view->kept_apart) continue;
        const auto& other = visit[s].eye[1 - which];
        eyes.push_back({&*view, view->emptied ? &*view->emptied : grids[s], other && fellow_is_free ? &other->block.globe() : nullptr, view->block.globe()});
    }
    return eyes;
}

/// Of the frame that all share, by each one's certainty.
EyeVector common_shift(const std::vector<Refitted>& eyes) {
    EyeVector sum{0, 0, 0};
    double weights = 0.0;
    for (const Refitted& r : eyes) {
        const EyeFrame& before = r.view->block.globe().frame;
        const double uncertainty = r.globe.centre_uncertainty.value(), weight = 1.0 / (uncertainty * uncertainty);
        sum = sum + before.to_eye(r.globe.frame.origin() - before.origin()) * weight;
        weights += weight;
    }
    return sum / weights;
}

void shift_to(Refitted& refitted, EyeVector shift) {
    Globe& globe = refitted.globe;
    const EyeFrame& before = refitted.view->block.globe().frame;
    const PatientPoint own = globe.frame.origin(), common = before.origin() + before.to_patient(shift);
    globe.frame = EyeFrame(common, before.anterior(), before.superior());
    globe.outer_radius = globe.outer_radius.seen_from(common - own);
    refitted.view->block = PolarBlock(*refitted.shown, std::move(globe));
}

}  // namespace

void fit_away_from_elements(std::vector<SeriesViews>& visit, const std::vector<const VoxelGrid*>& grids, const std::array<CoveredSclera, 2>& covered, int threads) {
    for (const std::size_t which : {0u, 1u}) {
        if (covered[which].empty()) continue;
        std::vector<Refitted> eyes = views_of(visit, grids, which, covered[1 - which].empty());
        if (eyes.empty()) continue;
        share_tasks(threads, eyes.size(), [&](std::size_t k) {
            const EyeFrame frame = eyes[k].globe.frame;
            eyes[k].globe = fit_away_from(*eyes[k].shown, eyes[k].view->modality, eyes[k].globe, [&](PatientVector d) { return covered[which].holds(frame.to_eye(d)); }, eyes[k].fellow);
        });
        const EyeVector shift = common_shift(eyes);
        for (Refitted& r : eyes) shift_to(r, shift);
    }
}

}  // namespace perisclera
