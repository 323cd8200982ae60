// SPDX-License-Identifier: Apache-2.0
#include "pieces_across_visits.h"

#include <algorithm>
#include <utility>

#include "perisclera/timeline/pieces.h"

namespace perisclera {

namespace {

/// The same look on images of the same kind, and of a material that the other may be.
bool alike(const AnalysedElement& a, Modality on_a, const AnalysedElement& b, Modality on_b) {
    constexpr double excluded = 0.05;
    double both = 0.0;
    for (std::size_t m = 0; m < a.opinion.probability.size(); ++m) both += a.opinion.probability[m] * b.opinion.probability[m];
    return both >= excluded && (on_a != on_b || a.element.found.appearance == b.element.found.appearance);
}

AnalysedElement taken_together(const PolarBlock& block, const std::vector<const AnalysedElement*>& pieces) {
    const auto volume = [](const AnalysedElement* e) { return e->measured.volume.measured() != nullptr ? e->measured.volume.measured()->value().value() : 0.0; };
    std::vector<const AnalysedElement*> largest_first = pieces;
    std::stable_sort(largest_first.begin(), largest_first.end(), [&](const AnalysedElement* a, const AnalysedElement* b) { return volume(a) > volume(b); });
    std::vector<const FoundElement*> found;
    std::vector<const ElementMeasurements*> measured;
    for (const AnalysedElement* e : largest_first) found.push_back(&e->element.found), measured.push_back(&e->measured);
    AnalysedElement all = *largest_first.front();
    all.element.found = joined(found);
    for (const AnalysedElement* e : largest_first) all.element.also_seen_in.insert(all.element.also_seen_in.end(), e->element.also_seen_in.begin(), e->element.also_seen_in.end());
    std::vector<std::size_t>& also = all.element.also_seen_in;
    std::sort(also.begin(), also.end());
    also.erase(std::unique(also.begin(), also.end()), also.end());
    all.measured = added_up(measured, measure_element(block, all.element.found));
    all.added_up = true;
    return all;
}

/// Elements of `visit`, by index, that are pieces of one element of another visit.
std::vector<std::size_t> in_pieces(const AnalysedVisit& visit, const AnalysedVisit& other, std::size_t whole, std::size_t which) {
    const auto &elements = visit.eye[which].elements, &of_other = other.eye[which].elements;
    const auto modality = [&](const AnalysedVisit& v, const AnalysedElement& e) { return v.views(which)[e.element.view]->modality; };
    const AnalysedElement& one = of_other[whole];
    std::vector<const FoundElement*> others;
    for (std::size_t k = 0; k < of_other.size(); ++k)
        if (k != whole) others.push_back(&of_other[k].element.found);
    std::vector<std::size_t> pieces;
    for (std::size_t view = 0; view < visit.eye[which].views.size() && pieces.empty(); ++view) {
        std::vector<std::size_t> candidates;
        std::vector<const FoundElement*> found;
        for (std::size_t k = 0; k < elements.size(); ++k)
            if (elements[k].element.view == view && alike(elements[k], modality(visit, elements[k]), one, modality(other, one)) &&
                (candidates.empty() || elements[k].element.found.appearance == found.front()->appearance))
                candidates.push_back(k), found.push_back(&elements[k].element.found);
        for (const std::size_t k : pieces_of(one.element.found, others, found)) pieces.push_back(candidates[k]);
    }
    return pieces;
}

}  // namespace

void join_pieces(std::vector<AnalysedVisit>& visits) {
    for (const std::size_t which : {0u, 1u}) {
        std::vector<std::vector<AnalysedElement>> joined_at;
        for (std::size_t at = 0; at < visits.size(); ++at) {
            const auto& elements = visits[at].eye[which].elements;
            std::vector<AnalysedElement> joined_here;
            std::vector<char> taken(elements.size(), 0);
            for (std::size_t other = 0; other < visits.size(); ++other)
                for (std::size_t whole = 0; other != at && whole < visits[other].eye[which].elements.size(); ++whole) {
                    const std::vector<std::size_t> pieces = in_pieces(visits[at], visits[other], whole, which);
                    if (pieces.empty() || std::any_of(pieces.begin(), pieces.end(), [&](std::size_t k) { return taken[k] != 0; })) continue;
                    std::vector<const AnalysedElement*> together;
                    for (const std::size_t k : pieces) taken[k] = 1, together.push_back(&elements[k]);
                    joined_here.push_back(taken_together(visits[at].views(which)[together.front()->element.view]->block, together));
                }
            for (std::size_t k = 0; k < elements.size(); ++k)
                if (!taken[k]) joined_here.push_back(elements[k]);
            joined_at.push_back(std::move(joined_here));
        }
        for (std::size_t at = 0; at < visits.size(); ++at) visits[at].eye[which].elements = std::move(joined_at[at]);
    }
}

}  // namespace perisclera
