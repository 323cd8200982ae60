// SPDX-License-Identifier: Apache-2.0
#include "expected_elsewhere.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "perisclera/timeline/element_change.h"

namespace perisclera {

namespace {

/// For likely_same.
constexpr double typical_radius_mm = 12.0;

/// The kind of what a visit shows by itself, by signs of its own, clearly and of one material.
std::optional<ExpectedKind> certain_kind(const AnalysedElement& e) {
    constexpr double clearly = 1.25;   // times the threshold of detection, where one series alone shows it
    const FoundElement& found = e.element.found;
    if (e.expected_from || (is_mass(found.appearance) && !found.own_signs) || (e.element.also_seen_in.empty() && found.strength <= clearly)) return std::nullopt;
    const auto share = [&](MaterialClass m) { return e.opinion.probability[static_cast<std::size_t>(m)]; };
    if (share(MaterialClass::hydrogel) >= label_margin) return ExpectedKind::hydrogel;
    if (share(MaterialClass::solid_silicone) + share(MaterialClass::silicone_sponge) >= label_margin) return ExpectedKind::silicone;
    return std::nullopt;
}

/// A hydrogel takes up water over decades, and gives none of it back; the rest is doubt.
double least_water_of(const AnalysedElement& e) {
    constexpr double least = 0.35, doubt = 0.2;
    const auto* water = e.opinion.water_fraction.measured();
    return water == nullptr ? least : std::max(least, water->low().value() - doubt);
}

/// Is a third of the element's columns filled by another?
bool overlaps(const FoundElement& element, const FoundElement& other) {
    const auto columns = [](const FoundElement& e) {
        std::vector<std::size_t> out;
        for (const ElementCell& c : e.cells)
            if (c.share >= 0.5f) out.push_back(c.index / PolarBlock::height_count);
        out.erase(std::unique(out.begin(), out.end()), out.end());
        return out;
    };
    const std::vector<std::size_t> own = columns(element), theirs = columns(other);
    const auto both = std::count_if(own.begin(), own.end(), [&](std::size_t k) { return std::binary_search(theirs.begin(), theirs.end(), k); });
    return 3 * static_cast<std::size_t>(both) >= own.size() && !own.empty();
}

PlaceAtVisit look(AnalysedVisit& at, const AnalysedElement& shown, ExpectedKind kind, PlaceAtVisit place) {
    const std::vector<const EyeView*> own = at.views(place.which);
    std::vector<const FoundElement*> known;
    for (const AnalysedElement& e : at.eye[1 - place.which].elements) known.push_back(&e.element.found);
    LookWhereExpected seen = look_where_expected({shown.element.found, kind, least_water_of(shown)}, own, fellow_views(at, place.which), known);
    place.holds = seen.holds, place.why = seen.why;
    for (const std::size_t v : seen.asked) place.asked.push_back(own[v]->series);
    if (seen.element && !add_expected(at, place.which, std::move(*seen.element), kind, place.showing, seen.whole)) place.holds = PlaceHolds::not_told, place.why = WhyNotTold::looks_like_both;
    return place;
}

}  // namespace

std::vector<PlaceAtVisit> look_where_expected_elsewhere(std::vector<AnalysedVisit>& visits, const std::vector<StudyDate>& dates) {
    std::vector<PlaceAtVisit> places;
    for (const std::size_t which : {0u, 1u})
        for (std::size_t at = 0; at < visits.size(); ++at) {
            if (visits[at].eye[which].views.empty()) continue;
            std::vector<std::size_t> nearest(visits.size());
            std::iota(nearest.begin(), nearest.end(), 0u);
            std::stable_sort(nearest.begin(), nearest.end(), [&](std::size_t a, std::size_t b) { return std::abs(dates[a].days_since(dates[at])) < std::abs(dates[b].days_since(dates[at])); });
            std::vector<const ElementMeasurements*> looked_for;
            for (const std::size_t showing : nearest) {
                if (showing == at) continue;
                for (std::size_t k = 0; k < visits[showing].eye[which].elements.size(); ++k) {
                    const AnalysedElement& shown = visits[showing].eye[which].elements[k];
                    const auto kind = certain_kind(shown);
                    const auto is_it = [&](const ElementMeasurements& other) { return likely_same(shown.measured, other, typical_radius_mm); };
                    const auto& here = visits[at].eye[which].elements;
                    if (!kind || std::any_of(here.begin(), here.end(), [&](const AnalysedElement& e) { return is_it(e.measured) || overlaps(shown.element.found, e.element.found); })) continue;
                    if (std::any_of(looked_for.begin(), looked_for.end(), [&](const ElementMeasurements* other) { return is_it(*other); })) continue;
                    looked_for.push_back(&shown.measured);
                    places.push_back(look(visits[at], shown, *kind, {which, at, showing, k, PlaceHolds::not_told, WhyNotTold::no_series, {}}));
                }
            }
        }
    return places;
}

}  // namespace perisclera
