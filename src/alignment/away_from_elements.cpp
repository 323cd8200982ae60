// SPDX-License-Identifier: Apache-2.0
#include "perisclera/alignment/away_from_elements.h"

#include <utility>

namespace perisclera {

namespace {

struct Refitted {
    EyeView* view;
    const VoxelGrid* shown;
    Globe globe;
};

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

void fit_away_from_elements(std::vector<SeriesViews>& visit, const std::vector<const VoxelGrid*>& grids, const std::array<CoveredSclera, 2>& covered) {
    for (const std::size_t which : {0u, 1u}) {
        if (covered[which].empty()) continue;
        std::vector<Refitted> eyes;
        for (std::size_t s = 0; s < visit.size(); ++s) {
            auto& view = visit[s].eye[which];
            if (!view || view->kept_apart) continue;
            const VoxelGrid& shown = view->emptied ? *view->emptied : *grids[s];
            const Globe& globe = view->block.globe();
            const auto is_covered = [&](PatientVector d) { return covered[which].holds(globe.frame.to_eye(d)); };
            const auto& other = visit[s].eye[1 - which];
            const Globe* fellow = other && covered[1 - which].empty() ? &other->block.globe() : nullptr;
            eyes.push_back({&*view, &shown, fit_away_from(shown, view->modality, globe, is_covered, fellow)});
        }
        if (eyes.empty()) continue;
        const EyeVector shift = common_shift(eyes);
        for (Refitted& r : eyes) shift_to(r, shift);
    }
}

}  // namespace perisclera
