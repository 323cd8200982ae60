// SPDX-License-Identifier: Apache-2.0
#include "visit_analysis.h"

#include <algorithm>
#include <array>
#include <utility>

#include "element_details.h"
#include "element_judgement.h"
#include "perisclera/alignment/away_from_elements.h"
#include "perisclera/core/shared_work.h"
#include "perisclera/core/text.h"
#include "perisclera/segmentation/unlike_fellow.h"
#include "second_look.h"
#include "visit_look.h"

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
    InflammationReading signs = signs_of_inflammation(visit.views(which), fellow_views(visit, which), elements_of(which), elements_of(1 - which));
    // What may be hydrogel is fluid itself: its swollen part is no collection.
    const auto& elements = visit.eye[which].elements;
    if (std::any_of(elements.begin(), elements.end(), [](const AnalysedElement& e) { return std::count(e.opinion.candidates.begin(), e.opinion.candidates.end(), MaterialClass::hydrogel) > 0; }))
        signs.collection = SignReading::not_assessable;
    return signs;
}

/// What is asked once it stands where elements are and where none.
AnalysedVisit with_surroundings(AnalysedVisit visit, int threads) {
    share_tasks(threads, 2, [&](std::size_t which) { visit.eye[which].unlike_fellow = visit.eye[which].elements.empty() && is_unlike_fellow(visit, which); });
    share_tasks(threads, 2, [&](std::size_t which) { visit.eye[which].inflammation = inflammation_of(visit, which); });
    share_tasks(threads, 2, [&](std::size_t which) { tell_details(visit, which); });
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

bool confirms(const AnalysedVisit& first, const AnalysedVisit& second) {
    return std::ranges::all_of(std::array{0u, 1u}, [&](std::size_t which) {
        std::vector<double> radius_mm;
        for (const EyeView* view : first.views(which)) radius_mm.push_back(view->block.equatorial_radius_mm());
        return confirms(first.eye[which].elements, second.eye[which].elements, radius_mm);
    });
}

}  // namespace

AnalysedVisit analyse_visit(std::vector<SeriesViews> views, const std::vector<const VoxelGrid*>& grids, int threads) {
    AnalysedVisit first = look_at(std::move(views), threads);
    const std::array<CoveredSclera, 2> covered{covered_by_elements(first, 0), covered_by_elements(first, 1)};
    if (grids.empty() || (covered[0].empty() && covered[1].empty())) return with_surroundings(std::move(first), threads);
    std::vector<SeriesViews> anew = first.series;
    fit_away_from_elements(anew, grids, covered, threads);
    AnalysedVisit second = look_at(std::move(anew), threads);
    return with_surroundings(confirms(first, second) ? std::move(second) : std::move(first), threads);
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
