// SPDX-License-Identifier: Apache-2.0
#include "visit_look.h"

#include <algorithm>
#include <utility>

#include "element_judgement.h"
#include "eye_interior.h"
#include "perisclera/core/shared_work.h"
#include "perisclera/segmentation/fellow_atlas.h"
#include "perisclera/segmentation/jointly_seen.h"
#include "perisclera/segmentation/metal.h"

namespace perisclera {

namespace {

/// Share of the cells round a globe that must lie inside the images; the rest is lids and air beyond the field of view.
constexpr double whole_coverage = 0.93;

/// Elements by series, as AnalysedEye::views.
using FoundBySeries = std::vector<std::vector<FoundElement>>;

/// What one series shows of an eye by itself, and what it would have shown.
struct ShownAlone {
    bool whole = false;
    std::optional<std::vector<ClockPosition>> metal{};
    std::vector<FoundElement> found{};
    SmallestShown limit{};
};

ShownAlone shown_alone(const EyeView& view, const EyeView* fellow) {
    ShownAlone alone{.whole = view.block.coverage(-6.0, 3.0) >= whole_coverage};
    if (view.modality == Modality::ct) alone.metal = metal_round_globe(view.block);
    const std::optional<FinderSettings> settings = finder_settings(view.modality, view.role, view.kvp);
    if (!settings) return alone;
    alone.found = find_elements(view.block, fellow != nullptr ? &fellow->block : nullptr, *settings);
    alone.limit = smallest_shown(view.block, *settings);
    return alone;
}

FoundBySeries together(AnalysedEye& eye, std::vector<ShownAlone> all) {
    FoundBySeries found;
    const auto better = [](std::optional<double>& best, const std::optional<double>& here) {
        if (here && (!best || *here < *best)) best = here;
    };
    for (ShownAlone& alone : all) {
        eye.whole = eye.whole || alone.whole;
        if (alone.metal && (!eye.metal || alone.metal->size() > eye.metal->size())) eye.metal = std::move(alone.metal);
        better(eye.smallest.band_thickness_mm, alone.limit.band_thickness_mm);
        better(eye.smallest.sponge_diameter_mm, alone.limit.sponge_diameter_mm);
        found.push_back(std::move(alone.found));
    }
    return found;
}

std::array<FoundBySeries, 2> found_alone(AnalysedVisit& visit, int threads) {
    struct Task {
        std::size_t which, view;
    };
    std::vector<Task> tasks;
    std::array<std::vector<ShownAlone>, 2> shown;
    for (const std::size_t which : {0u, 1u}) {
        shown[which].resize(visit.eye[which].views.size());
        for (std::size_t v = 0; v < shown[which].size(); ++v) tasks.push_back({which, v});
    }
    share_tasks(threads, tasks.size(), [&](std::size_t k) {
        const auto [which, view] = tasks[k];
        shown[which][view] = shown_alone(*visit.views(which)[view], fellow_views(visit, which)[view]);
    });
    return {together(visit.eye[0], std::move(shown[0])), together(visit.eye[1], std::move(shown[1]))};
}

/// What the series of each eye show together; where each eye is unlike the other, the one that shows far more of it is the one that has it. On MR alone that is asked
/// place by place: what lies there is known by vitreous or void, which nothing at another place of the other eye feigns, and both eyes may carry an element.
std::array<SeenJointly, 2> seen_jointly(const AnalysedVisit& visit, const std::array<FoundBySeries, 2>& alone, int threads) {
    std::array<SeenJointly, 2> all;
    share_tasks(threads, 2, [&](std::size_t which) {
        const std::vector<const EyeView*> own = visit.views(which);
        const std::vector<const EyeView*> fellow = fellow_views(visit, which), others = visit.views(1 - which);
        std::vector<const FoundElement*> known;
        for (const auto& series : alone[1 - which])
            for (const FoundElement& e : series)
                if (!is_mass(e.appearance) && std::none_of(others.begin(), others.end(), [&](const EyeView* v) { return shows_fat_there(*v, e); })) known.push_back(&e);
        all[which] = hydrogels_seen_jointly(own, fellow, known);
        for (EyeElement& body : soft_bodies_unlike_fellow(own, fellow, known, all[which].elements)) all[which].elements.push_back(std::move(body));
        // CT shows either silicone better.
        if (std::none_of(own.begin(), own.end(), [](const EyeView* v) { return v->modality == Modality::ct; }))
            for (EyeElement& e : voids_seen_jointly(own, fellow, known)) all[which].elements.push_back(std::move(e));
    });
    constexpr double far_more = 4.0;
    std::array<SeenJointly, 2> seen = all;
    for (const std::size_t which : {0u, 1u}) {
        const std::vector<EyeElement>& others = all[1 - which].elements;
        std::erase_if(seen[which].elements, [&](const EyeElement& e) {
            return std::any_of(others.begin(), others.end(), [&](const EyeElement& other) {
                return far_more * e.found.strength < other.found.strength && (e.found.appearance == Appearance::ct_mass || lies_opposite(e.found, other.found));
            });
        });
        if (std::any_of(others.begin(), others.end(), [&](const EyeElement& other) { return far_more * seen[which].unexplained < other.found.strength; })) seen[which].unexplained = 0.0;
    }
    return seen;
}

/// Measures what was found and judges what it is made of. `of_fellow`: what was found of the other eye.
void take_elements(AnalysedVisit& visit, std::size_t which, FusedElements fused, const std::vector<const FoundElement*>& of_fellow) {
    AnalysedEye& eye = visit.eye[which];
    const std::vector<const EyeView*> shown = visit.views(which);
    eye.unexplained_soft_mass = fused.unexplained_soft_mass;
    std::vector<const FoundElement*> all;
    for (const EyeElement& e : fused.elements) all.push_back(&e.found);
    for (EyeElement& element : fused.elements) {
        if (element.found.appearance == Appearance::ct_dark && lies_beside_metal(shown[element.view]->block, element.found)) {
            eye.dark_beside_metal = true;
            continue;
        }
        // No finding, but neither is it nothing.
        if (auto judged = judge_element(visit, which, element, all, of_fellow))
            eye.elements.push_back({element, std::move(judged->measured), std::move(judged->opinion)});   // a copy: the next ones ask where this one lies
        else
            eye.unexplained_soft_mass = true;
    }
}

}  // namespace

AnalysedVisit look_at(std::vector<SeriesViews> views, int threads) {
    AnalysedVisit visit{std::move(views), {}};
    for (std::size_t which = 0; which < 2; ++which)
        for (std::size_t s = 0; s < visit.series.size(); ++s) {
            AnalysedEye& eye = visit.eye[which];
            if (!visit.series[s].eye[which]) continue;
            eye.views.push_back(s);
            const std::optional<EyeView>& fellow = visit.series[s].eye[1 - which];
            eye.fellow_seen = eye.fellow_seen || (fellow && serves_as_atlas(visit.series[s].eye[which]->block, fellow->block));
        }
    for (const std::size_t which : {0u, 1u}) {
        judge_interior(visit, which);
        // Outside the images where a series says so and none holds its place.
        const auto any_says = [&](GlobeMissing why) { return std::any_of(visit.series.begin(), visit.series.end(), [&](const SeriesViews& s) { return s.missing[which] == why; }); };
        if (any_says(GlobeMissing::outside_images) && !any_says(GlobeMissing::not_found)) visit.eye[which].missing = GlobeMissing::outside_images;
    }
    // Each step of an eye reads what earlier steps left of the other one, and writes of its own alone.
    const std::array<FoundBySeries, 2> alone = found_alone(visit, threads);
    const std::array<SeenJointly, 2> jointly = seen_jointly(visit, alone, threads);
    std::array<FusedElements, 2> fused{fuse_elements(visit.views(0), alone[0], jointly[0].elements), fuse_elements(visit.views(1), alone[1], jointly[1].elements)};
    for (const std::size_t which : {0u, 1u}) fused[which].unexplained_soft_mass = fused[which].unexplained_soft_mass || jointly[which].unexplained > 0.0;
    const auto found_in = [](const FusedElements& eye) {
        std::vector<FoundElement> found;
        for (const EyeElement& e : eye.elements) found.push_back(e.found);
        return found;
    };
    const std::array<std::vector<FoundElement>, 2> found{found_in(fused[0]), found_in(fused[1])};
    share_tasks(threads, 2, [&](std::size_t which) {
        std::vector<const FoundElement*> of_fellow;
        for (const FoundElement& e : found[1 - which]) of_fellow.push_back(&e);
        take_elements(visit, which, std::move(fused[which]), of_fellow);
    });
    return visit;
}

}  // namespace perisclera
