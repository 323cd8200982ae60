// SPDX-License-Identifier: Apache-2.0
#include "eye_interior.h"

namespace perisclera {

namespace {

CavityView cavity_view(const EyeView& view, const std::optional<EyeView>& fellow) {
    constexpr double brightest = 0.9, darker = 0.25;
    CavityView out{*view.inside.cavity, view.modality, view.role, view.kvp, view.block.orbit_signal(brightest), view.block.orbit_signal(darker), view.block.equatorial_radius_mm(),
                   watery_chamber_mm(view.inside.lens), std::nullopt};
    if (fellow && fellow->inside.cavity)
        if (const auto* even = std::get_if<EvenCavity>(&*fellow->inside.cavity)) out.fellow = even->whole.value;
    return out;
}

}  // namespace

void judge_interior(AnalysedVisit& visit, std::size_t which) {
    std::vector<CavityView> cavities;
    std::vector<LensOpinion> lenses;
    for (const std::size_t s : visit.eye[which].views) {
        const EyeView& view = *visit.series[s].eye[which];
        if (!view.inside.cavity) continue;
        cavities.push_back(cavity_view(view, visit.series[s].eye[1 - which]));
        const auto behind = signal_behind_lens(*view.inside.cavity, view.block.globe().frame.anterior(), view.inside.down);
        lenses.push_back(judge_lens(view.inside.lens, view.modality, view.role, behind, cavities.back().orbit));
    }
    visit.eye[which].contents = judge_contents(cavities);
    visit.eye[which].lens = joined(lenses);
}

}  // namespace perisclera
