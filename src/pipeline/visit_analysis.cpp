// SPDX-License-Identifier: Apache-2.0
#include "visit_analysis.h"

#include <algorithm>
#include <functional>
#include <utility>

#include "element_judgement.h"
#include "perisclera/alignment/away_from_elements.h"
#include "perisclera/core/shared_work.h"
#include "perisclera/core/text.h"
#include "perisclera/segmentation/fellow_atlas.h"
#include "perisclera/segmentation/jointly_seen.h"
#include "perisclera/segmentation/metal.h"
#include "perisclera/segmentation/unlike_fellow.h"
#include "perisclera/timeline/element_change.h"

namespace perisclera {

std::vector<const EyeView*> AnalysedVisit::views(std::size_t which) const {
    std::vector<const EyeView*> out;
    for (const std::size_t s : eye[which].views) out.push_back(&*series[s].eye[which]);
    return out;
}

std::vector<const EyeView*> fellow_views(const AnalysedVisit& visit, std::size_t which) {
    std::vector<const EyeView*> fellow;
    for (const std::size_t s : visit.eye[which].views) {
        const auto& other = visit.series[s].eye[1 - which];
        fellow.push_back(other ? &*other : nullptr);
    }
    return fellow;
}

namespace {

/// Share of the cells round a globe that must lie inside the images; the rest is lids and air beyond the field of view.
constexpr double whole_coverage = 0.93;

void for_both_eyes(int threads, const std::function<void(std::size_t)>& work) { share_tasks(threads, 2, work); }

/// Elements by series, as AnalysedEye::views.
using FoundBySeries = std::vector<std::vector<FoundElement>>;

/// What each series of an eye shows by itself; notes what it would have shown.
FoundBySeries found_alone(AnalysedVisit& visit, std::size_t which) {
    AnalysedEye& eye = visit.eye[which];
    const std::vector<const EyeView*> shown = visit.views(which);
    FoundBySeries found(shown.size());
    for (std::size_t v = 0; v < shown.size(); ++v) {
        eye.whole = eye.whole || shown[v]->block.coverage(-6.0, 3.0) >= whole_coverage;
        if (shown[v]->modality == Modality::ct)
            if (auto metal = metal_round_globe(shown[v]->block); metal && (!eye.metal || metal->size() > eye.metal->size())) eye.metal = std::move(metal);
        const std::optional<FinderSettings> settings = finder_settings(shown[v]->modality, shown[v]->role, shown[v]->kvp);
        if (!settings) continue;
        const auto& fellow = visit.series[shown[v]->series].eye[1 - which];
        found[v] = find_elements(shown[v]->block, fellow ? &fellow->block : nullptr, *settings);
        const SmallestShown limit = smallest_shown(shown[v]->block, *settings);
        const auto better = [](std::optional<double>& best, const std::optional<double>& here) {
            if (here && (!best || *here < *best)) best = here;
        };
        better(eye.smallest.band_thickness_mm, limit.band_thickness_mm);
        better(eye.smallest.sponge_diameter_mm, limit.sponge_diameter_mm);
    }
    return found;
}

/// What the series of each eye show together; where each eye is unlike the other, the one that shows far more of it is the one that has it. On MR alone that is asked
/// place by place: what lies there is known by vitreous or void, which nothing at another place of the other eye feigns, and both eyes may carry an element.
std::array<std::vector<EyeElement>, 2> seen_jointly(const AnalysedVisit& visit, const std::array<FoundBySeries, 2>& alone, int threads) {
    std::array<std::vector<EyeElement>, 2> all;
    for_both_eyes(threads, [&](std::size_t which) {
        const std::vector<const EyeView*> own = visit.views(which);
        const std::vector<const EyeView*> fellow = fellow_views(visit, which), others = visit.views(1 - which);
        std::vector<const FoundElement*> known;
        for (const auto& series : alone[1 - which])
            for (const FoundElement& e : series)
                if (!is_mass(e.appearance) && std::none_of(others.begin(), others.end(), [&](const EyeView* v) { return shows_fat_there(*v, e); })) known.push_back(&e);
        all[which] = hydrogels_seen_jointly(own, fellow, known);
        // CT shows either silicone better.
        if (std::none_of(own.begin(), own.end(), [](const EyeView* v) { return v->modality == Modality::ct; }))
            for (EyeElement& e : voids_seen_jointly(own, fellow, known)) all[which].push_back(std::move(e));
    });
    constexpr double far_more = 4.0;
    std::array<std::vector<EyeElement>, 2> seen = all;
    for (const std::size_t which : {0u, 1u})
        std::erase_if(seen[which], [&](const EyeElement& e) {
            return std::any_of(all[1 - which].begin(), all[1 - which].end(), [&](const EyeElement& other) {
                return far_more * e.found.strength < other.found.strength && (e.found.appearance == Appearance::ct_mass || lies_opposite(e.found, other.found));
            });
        });
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

bool is_unlike_fellow(const AnalysedVisit& visit, std::size_t which) {
    std::vector<const EyeView*> own, fellow;
    for (const SeriesViews& series : visit.series) {
        if (!series.eye[0] || !series.eye[1]) continue;
        own.push_back(&*series.eye[which]);
        fellow.push_back(&*series.eye[1 - which]);
    }
    std::vector<const FoundElement*> known;
    for (const AnalysedElement& e : visit.eye[1 - which].elements) known.push_back(&e.element.found);
    return shows_tissue_unlike_fellow(own, fellow, known);
}

InflammationReading inflammation_of(const AnalysedVisit& visit, std::size_t which) {
    const auto elements_of = [&](std::size_t eye) {
        std::vector<const EyeElement*> elements;
        for (const AnalysedElement& e : visit.eye[eye].elements) elements.push_back(&e.element);
        return elements;
    };
    return signs_of_inflammation(visit.views(which), fellow_views(visit, which), elements_of(which), elements_of(1 - which));
}

CavityView cavity_view(const EyeView& view, const std::optional<EyeView>& fellow) {
    constexpr double brightest = 0.9, darker = 0.25;
    CavityView out{*view.inside.cavity, view.modality, view.role, view.kvp, view.block.orbit_signal(brightest), view.block.orbit_signal(darker), view.block.equatorial_radius_mm(),
                   watery_chamber_mm(view.inside.lens), std::nullopt};
    if (fellow && fellow->inside.cavity)
        if (const auto* even = std::get_if<EvenCavity>(&*fellow->inside.cavity)) out.fellow = even->whole.value;
    return out;
}

/// What fills the globe, and its lens, by all series of the visit.
void judge_inside(AnalysedVisit& visit, std::size_t which) {
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
        judge_inside(visit, which);
        // Outside the images where a series says so and none holds its place.
        const auto any_says = [&](GlobeMissing why) { return std::any_of(visit.series.begin(), visit.series.end(), [&](const SeriesViews& s) { return s.missing[which] == why; }); };
        if (any_says(GlobeMissing::outside_images) && !any_says(GlobeMissing::not_found)) visit.eye[which].missing = GlobeMissing::outside_images;
    }
    // Each step of an eye reads what earlier steps left of the other one, and writes of its own alone.
    std::array<FoundBySeries, 2> alone;
    for_both_eyes(threads, [&](std::size_t which) { alone[which] = found_alone(visit, which); });
    const std::array<std::vector<EyeElement>, 2> jointly = seen_jointly(visit, alone, threads);
    std::array<FusedElements, 2> fused{fuse_elements(visit.views(0), alone[0], jointly[0]), fuse_elements(visit.views(1), alone[1], jointly[1])};
    const auto found_in = [](const FusedElements& eye) {
        std::vector<FoundElement> found;
        for (const EyeElement& e : eye.elements) found.push_back(e.found);
        return found;
    };
    const std::array<std::vector<FoundElement>, 2> found{found_in(fused[0]), found_in(fused[1])};
    for_both_eyes(threads, [&](std::size_t which) {
        std::vector<const FoundElement*> of_fellow;
        for (const FoundElement& e : found[1 - which]) of_fellow.push_back(&e);
        take_elements(visit, which, std::move(fused[which]), of_fellow);
    });
    return visit;
}

/// What is asked once it stands where elements are and where none.
AnalysedVisit with_surroundings(AnalysedVisit visit, int threads) {
    for_both_eyes(threads, [&](std::size_t which) { visit.eye[which].unlike_fellow = visit.eye[which].elements.empty() && is_unlike_fellow(visit, which); });
    for_both_eyes(threads, [&](std::size_t which) { visit.eye[which].inflammation = inflammation_of(visit, which); });
    return visit;
}

/// What the elements of an eye cover; of those in a series that was kept apart nothing is known elsewhere.
CoveredSclera covered_by_elements(const AnalysedVisit& visit, std::size_t which) {
    constexpr float mostly = 0.5F;
    CoveredSclera covered;
    const std::vector<const EyeView*> shown = visit.views(which);
    std::vector<char> columns(static_cast<std::size_t>(PolarBlock::clock_count) * PolarBlock::polar_count, 0);
    for (const AnalysedElement& e : visit.eye[which].elements) {
        if (shown[e.element.view]->kept_apart) continue;
        for (const ElementCell& cell : e.element.found.cells) {
            const PolarCell at = PolarBlock::cell(cell.index);
            char& column = columns[static_cast<std::size_t>(at.clock * PolarBlock::polar_count + at.polar)];
            if (cell.share < mostly || column) continue;
            column = 1;
            covered.cover(at);
        }
    }
    return covered;
}

/// The same elements, each in its place.
bool show_the_same(const AnalysedVisit& first, const AnalysedVisit& second) {
    for (const std::size_t which : {0u, 1u}) {
        const auto &before = first.eye[which].elements, &after = second.eye[which].elements;
        if (before.size() != after.size()) return false;
        const auto has_fellow = [&](const AnalysedElement& e) {
            return std::any_of(after.begin(), after.end(), [&](const AnalysedElement& a) {
                return a.element.view == e.element.view && a.opinion.label == e.opinion.label && likely_same(e.measured, a.measured, first.views(which)[e.element.view]->block.equatorial_radius_mm());
            });
        };
        if (!std::all_of(before.begin(), before.end(), has_fellow)) return false;
    }
    return true;
}

}  // namespace

AnalysedVisit analyse_visit(std::vector<SeriesViews> views, const std::vector<const VoxelGrid*>& grids, int threads) {
    AnalysedVisit first = look_at(std::move(views), threads);
    const std::array<CoveredSclera, 2> covered{covered_by_elements(first, 0), covered_by_elements(first, 1)};
    if (grids.empty() || (covered[0].empty() && covered[1].empty())) return with_surroundings(std::move(first), threads);
    std::vector<SeriesViews> anew = first.series;
    fit_away_from_elements(anew, grids, covered, threads);
    AnalysedVisit second = look_at(std::move(anew), threads);
    return with_surroundings(show_the_same(first, second) ? std::move(second) : std::move(first), threads);
}

bool add_expected(AnalysedVisit& visit, std::size_t which, EyeElement element, ExpectedKind kind, std::size_t from, bool whole) {
    constexpr double excluded = 0.05;
    std::vector<const FoundElement*> all{&element.found}, of_fellow;
    for (const AnalysedElement& e : visit.eye[which].elements) all.push_back(&e.element.found);
    for (const AnalysedElement& e : visit.eye[1 - which].elements) of_fellow.push_back(&e.element.found);
    auto taken = judge_element(visit, which, element, all, of_fellow);
    if (!taken) return false;
    const auto share = [&](MaterialClass m) { return taken->opinion.probability[static_cast<std::size_t>(m)]; };
    const double of_kind = kind == ExpectedKind::hydrogel ? share(MaterialClass::hydrogel) : share(MaterialClass::solid_silicone) + share(MaterialClass::silicone_sponge);
    if (of_kind < excluded) return false;
    if (!whole) taken->measured = without_sizes(std::move(taken->measured), say("reason.seen_in_part"));
    visit.eye[which].elements.push_back({std::move(element), std::move(taken->measured), std::move(taken->opinion), from});
    visit.eye[which].unlike_fellow = false;
    for (const std::size_t eye : {0u, 1u}) visit.eye[eye].inflammation = inflammation_of(visit, eye);
    return true;
}

}  // namespace perisclera
