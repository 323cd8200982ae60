// SPDX-License-Identifier: Apache-2.0
#include "compared_dates.h"

#include <algorithm>
#include <map>

#include "perisclera/segmentation/fellow_atlas.h"
#include "perisclera/timeline/place_left.h"
#include "perisclera/timeline/shared_error.h"

namespace perisclera {

namespace {

/// CT, or one weighting of MR: results of one kind share their systematic errors.
int method_of(const EyeView& view) {
    return view.modality == Modality::ct ? 0 : view.role == SeriesRole::t2 || view.role == SeriesRole::t2_fatsat || view.role == SeriesRole::stir ? 1 : 2;
}

int method_of(const AnalysedVisit& visit, std::size_t which, const AnalysedElement& e) { return method_of(*visit.views(which)[e.element.view]); }

/// A series of a visit; with the other eye where that carries nothing opposite the element.
EyeAtDate at_date(const NamedVisit& visit, std::size_t view, std::size_t which, const FoundElement& element, double gain) {
    constexpr double muscle_to_fat_hu = 150.0, fat = 0.85, muscle = 0.2;   // common practice, no source; shares of the tissue round a globe by drawn orbits
    const EyeView& own = *visit.analysed.views(which)[view];
    const EyeView* fellow = fellow_views(visit.analysed, which)[view];
    const auto& of_fellow = visit.analysed.eye[1 - which].elements;
    const bool free = fellow != nullptr && std::none_of(of_fellow.begin(), of_fellow.end(), [&](const AnalysedElement& e) { return lies_opposite(element, e.element.found); });
    const double span = own.modality == Modality::ct ? muscle_to_fat_hu : own.block.orbit_signal(fat) - own.block.orbit_signal(muscle);
    return {own.block, free ? &fellow->block : nullptr, span, gain};
}

BulkTold bulk_told(const AnalysedElement& earlier, const AnalysedElement& now) {
    constexpr double next_to_nothing = 0.03;   // of the bulk
    if (earlier.element.found.appearance == Appearance::ct_dark || now.element.found.appearance == Appearance::ct_dark) return BulkTold::as_rod;
    if (std::max(earlier.measured.beside_bone, now.measured.beside_bone) > next_to_nothing) return BulkTold::beside_bone;
    return earlier.added_up || now.added_up ? BulkTold::in_pieces : BulkTold::as_one;
}

ComparedDates compare(const PatientStudies& patient, const std::vector<NamedVisit>& visits, std::size_t which, const std::string& name, std::size_t before, std::size_t after) {
    const AnalysedElement &earlier = *find_element(visits[before], which, name), &now = *find_element(visits[after], which, name);
    const auto images = [&](std::size_t visit, const AnalysedElement& e) { return measured_on(patient.visits[visit].series[visits[visit].analysed.views(which)[e.element.view]->series]); };
    const bool in_pieces = earlier.added_up || now.added_up;
    ElementChange c = compare_elements(earlier.measured, now.measured, method_of(visits[before].analysed, which, earlier) == method_of(visits[after].analysed, which, now),
                                       shared_share(images(before, earlier), images(after, now), bulk_told(earlier, now)));
    // Where it lies in pieces one may be missing from sight, or the whole was seen in part, whatever the sum says.
    const bool less = in_pieces || c.verdict == ChangeVerdict::shrunk || c.verdict == ChangeVerdict::partly_removed, more = in_pieces || c.verdict == ChangeVerdict::enlarged;
    const bool in_part = c.same_method && ((less && looks_the_same(visits[before], earlier, visits[after], &now, which)) || (more && looks_the_same(visits[after], now, visits[before], &earlier, which)));
    return {name, before, after, std::move(c), in_part, in_pieces};
}

}  // namespace

const AnalysedElement* find_element(const NamedVisit& v, std::size_t which, const std::string& name) {
    const auto it = std::find(v.names[which].begin(), v.names[which].end(), name);
    return it == v.names[which].end() ? nullptr : &v.analysed.eye[which].elements[static_cast<std::size_t>(it - v.names[which].begin())];
}

bool looked_the_same_way(const AnalysedVisit& visit, std::size_t which, const NamedVisit& showing, const AnalysedElement& element) {
    const int method = method_of(showing.analysed, which, element);
    const std::vector<const EyeView*> views = visit.views(which);
    return visit.eye[which].whole && std::any_of(views.begin(), views.end(), [&](const EyeView* v) { return method_of(*v) == method; });
}

bool looks_the_same(const NamedVisit& showing, const AnalysedElement& element, const NamedVisit& other, const AnalysedElement* found, std::size_t which) {
    constexpr double may_be_there = 0.35, brightest = 0.9;   // a thin band between thick slices of two dates shows down to 0.4 of it (drawn pairs)
    const FoundElement& shown = element.element.found;
    const std::vector<const EyeView*> then = showing.analysed.views(which), now = other.analysed.views(which);
    std::vector<const FoundElement*> there;
    if (found != nullptr) there.push_back(&found->element.found);
    std::optional<StillShown> most;
    for (std::size_t a = 0; a < then.size(); ++a)
        for (std::size_t b = 0; b < now.size(); ++b) {
            const bool own = a == element.element.view, told_by_itself = own || (!then[a]->kept_apart && !then[element.element.view]->kept_apart);
            if (method_of(*then[a]) != method_of(*now[b]) || !told_by_itself) continue;
            const double signal = now[b]->block.orbit_signal(brightest), gain = now[b]->modality == Modality::ct || !(signal > 0.0) ? 1.0 : then[a]->block.orbit_signal(brightest) / signal;
            const auto still = still_stands_out(at_date(showing, a, which, shown, 1.0), shown, at_date(other, b, which, shown, gain), there);
            // What surrounds the element was read on its own series.
            if (still && (own || still->telling > 0.0) && (!most || still->telling > most->telling)) most = still;
        }
    return most && most->share > may_be_there;
}

std::vector<ComparedDates> compare_dates(const PatientStudies& patient, const std::vector<NamedVisit>& visits, std::size_t which) {
    std::vector<ComparedDates> compared;
    std::map<std::string, std::size_t> last;   // visit that showed it, of each element
    for (std::size_t k = 0; k < visits.size(); ++k)
        for (const std::string& name : visits[k].names[which]) {
            if (const auto before = last.find(name); before != last.end()) compared.push_back(compare(patient, visits, which, name, before->second, k));
            last[name] = k;
        }
    return compared;
}

}  // namespace perisclera
