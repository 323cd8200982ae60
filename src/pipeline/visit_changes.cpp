// SPDX-License-Identifier: Apache-2.0
#include "visit_changes.h"

#include <algorithm>
#include <map>
#include <set>

#include "perisclera/core/text.h"
#include "perisclera/material/hydrogel_swelling.h"
#include "perisclera/report/wording.h"
#include "perisclera/segmentation/fellow_atlas.h"
#include "perisclera/timeline/element_change.h"
#include "perisclera/timeline/place_left.h"
#include "perisclera/timeline/shared_error.h"

namespace perisclera {

namespace {

using namespace report;

/// CT, or one weighting of MR: results of one kind share their systematic errors.
int method_of(const EyeView& view) {
    return view.modality == Modality::ct ? 0 : view.role == SeriesRole::t2 || view.role == SeriesRole::t2_fatsat || view.role == SeriesRole::stir ? 1 : 2;
}

int method_of(const AnalysedVisit& visit, std::size_t which, const AnalysedElement& e) { return method_of(*visit.views(which)[e.element.view]); }

Verdict verdict_of(ChangeVerdict v) {
    switch (v) {
        case ChangeVerdict::enlarged: return Verdict::enlarged;
        case ChangeVerdict::unchanged: return Verdict::unchanged;
        case ChangeVerdict::shrunk: return Verdict::shrunk;
        case ChangeVerdict::partly_removed: return Verdict::partly_removed;
        case ChangeVerdict::not_comparable: return Verdict::not_comparable;
    }
    return Verdict::not_comparable;
}

/// Could this visit have shown an element that was measured by `method` elsewhere?
bool looked_the_same_way(const AnalysedVisit& visit, std::size_t which, int method) {
    const std::vector<const EyeView*> views = visit.views(which);
    return visit.eye[which].whole && std::any_of(views.begin(), views.end(), [&](const EyeView* v) { return method_of(*v) == method; });
}

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

/// Of an element that is found in one visit and not, or only in part, in another: may its place there look the same? By the kind of series that shows it most plainly. `found`: what
/// was found of it there, or nullptr.
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

/// The series of an examination that were looked at, in words.
std::string asked_in_words(const PlaceAtVisit& place, const Visit& visit) {
    std::string words;
    for (const std::size_t s : place.asked) {
        const SeriesDescription& series = visit.series[s].description;
        words += (words.empty() ? "" : "; ") + in_words(series.role, series.modality);
    }
    return words;
}

/// Why another examination does not tell whether the element was there.
std::string why_not_told(const PlaceAtVisit& place, const Visit& visit, const std::string& timepoint) {
    const std::string examination = say("warning.examination", {{"visit", timepoint}});
    switch (place.why) {
        case WhyNotTold::no_series: return say("reason.place_has_no_series", {{"examination", examination}});
        case WhyNotTold::no_fellow: return say("reason.place_has_no_fellow", {{"examination", examination}});
        case WhyNotTold::too_thin: return say("reason.place_too_thin", {{"examination", examination}, {"series", asked_in_words(place, visit)}});
        case WhyNotTold::looks_like_both: break;
    }
    return say("reason.place_looks_like_both", {{"examination", examination}, {"series", asked_in_words(place, visit)}});
}

/// An element seen at only one of two dates: removed or new where the other date was looked at in the same way, or shows a free wall there. `place`: what the other date
/// shows at its place, or nullptr where it was not looked at.
Change seen_once(const ReportModel& model, const PatientStudies& patient, Eye eye, const std::string& name, std::size_t from, std::size_t to, bool seen_before, bool same_way, const PlaceAtVisit* place) {
    Change change{.eye = eye, .element = name, .from = model.timepoints[from].id, .to = model.timepoints[to].id,
                  .days = model.timepoints[to].study_date.days_since(model.timepoints[from].study_date)};
    if (same_way || (place != nullptr && place->holds == PlaceHolds::free_wall)) {
        change.verdict = seen_before ? Verdict::removed : Verdict::new_element;
        change.volume = Unmeasured{say(seen_before ? "reason.no_longer_seen" : "reason.not_seen_before")};
    } else {
        change.verdict = Verdict::not_comparable;
        change.volume = Unmeasured{place != nullptr ? why_not_told(*place, patient.visits[place->at], model.timepoints[place->at].id) : say("reason.other_date_would_not_show")};
    }
    return change;
}

/// What was seen at a visit at the place of the element of this name.
const PlaceAtVisit* place_of(const std::vector<PlaceAtVisit>& places, const std::vector<NamedVisit>& visits, std::size_t which, const std::string& name, std::size_t at) {
    const auto found = std::find_if(places.begin(), places.end(), [&](const PlaceAtVisit& p) { return p.which == which && p.at == at && visits[p.showing].names[which][p.element] == name; });
    return found == places.end() ? nullptr : &*found;
}

const AnalysedElement* find_element(const NamedVisit& v, std::size_t which, const std::string& name) {
    const auto it = std::find(v.names[which].begin(), v.names[which].end(), name);
    return it == v.names[which].end() ? nullptr : &v.analysed.eye[which].elements[static_cast<std::size_t>(it - v.names[which].begin())];
}

/// An element at two dates, and whether a change of it is none of the element: more or fewer clock hours, and these look the same at both. Once it was recognised in part only then,
/// and no size of it can be compared.
struct Compared {
    ElementChange change;
    bool recognised_in_part;
};
Compared compare(const PatientStudies& patient, const std::vector<NamedVisit>& visits, std::size_t which, const std::string& name, std::size_t before, std::size_t after) {
    const AnalysedElement &earlier = *find_element(visits[before], which, name), &now = *find_element(visits[after], which, name);
    const auto images = [&](std::size_t visit, const AnalysedElement& e) { return measured_on(patient.visits[visit].series[visits[visit].analysed.views(which)[e.element.view]->series]); };
    const ElementChange c = compare_elements(earlier.measured, now.measured, method_of(visits[before].analysed, which, earlier) == method_of(visits[after].analysed, which, now),
                                             shared_share(images(before, earlier), images(after, now)));
    const bool less = c.verdict == ChangeVerdict::shrunk || c.verdict == ChangeVerdict::partly_removed, more = c.verdict == ChangeVerdict::enlarged;
    return {c, c.same_method && ((less && looks_the_same(visits[before], earlier, visits[after], &now, which)) || (more && looks_the_same(visits[after], now, visits[before], &earlier, which)))};
}

}  // namespace

void take_growth(const PatientStudies& patient, std::vector<NamedVisit>& visits, std::size_t which) {
    const auto judge_with = [&](std::size_t k, std::size_t e, Reading growth) {
        MaterialOpinion& opinion = visits[k].analysed.eye[which].elements[e].opinion;
        std::vector<Reading> readings = readings_of(opinion);
        growth.series = visits[k].analysed.views(which)[visits[k].analysed.eye[which].elements[e].element.view]->series;
        readings.push_back(growth);
        opinion = judge_material(readings);
    };
    std::map<std::string, std::size_t> last;   // visit that showed it, of each element; and whether growth was taken there
    std::set<std::string> told;
    for (std::size_t k = 0; k < visits.size(); ++k)
        for (std::size_t e = 0; e < visits[k].names[which].size(); ++e) {
            const std::string& name = visits[k].names[which][e];
            const auto before = last.find(name);
            if (before != last.end()) {
                const Compared compared = compare(patient, visits, which, name, before->second, k);
                const auto* volume = compared.change.volume.measured();
                if (volume != nullptr && compared.change.verdict != ChangeVerdict::partly_removed && !compared.recognised_in_part) {
                    const double days = patient.visits[k].date.days_since(patient.visits[before->second].date);
                    const Reading growth{.kind = EvidenceKind::growth, .series = 0, .value = 1.0 + volume->value().value() / 100.0, .uncertainty = volume->standard_uncertainty().value() / 100.0, .years = days / 365.25};
                    const auto& then = visits[before->second].names[which];
                    if (told.insert(name).second) judge_with(before->second, static_cast<std::size_t>(std::find(then.begin(), then.end(), name) - then.begin()), growth);
                    judge_with(k, e, growth);
                }
            }
            last[name] = k;
        }
}

void add_changes(ReportModel& model, const PatientStudies& patient, const std::vector<NamedVisit>& visits, const std::vector<PlaceAtVisit>& places, std::size_t which) {
    const Eye eye = which == 0 ? Eye::right : Eye::left;
    const auto find = [&](const NamedVisit& v, const std::string& name) { return find_element(v, which, name); };
    std::vector<std::string> names;
    for (const NamedVisit& v : visits)
        for (const std::string& n : v.names[which])
            if (std::find(names.begin(), names.end(), n) == names.end()) names.push_back(n);
    for (const std::string& name : names) {
        std::optional<std::size_t> before;
        bool gone = false;   // told to be, at a date after `before`
        double sum_t = 0, sum_v = 0, sum_tt = 0, sum_tv = 0, variance = 0;
        int count = 0;
        for (std::size_t k = 0; k < visits.size(); ++k) {
            const AnalysedElement* now = find(visits[k], name);
            // An element against the last date that shows it, until it is told to be gone; a new one against the date before.
            if (k > 0 && (now != nullptr ? !before : before.has_value() && !gone)) {
                const std::size_t from = now != nullptr ? k - 1 : *before;
                const NamedVisit& showing = now != nullptr ? visits[k] : visits[from];
                const NamedVisit& other = now != nullptr ? visits[from] : visits[k];
                const bool same_way = looked_the_same_way(other.analysed, which, method_of(showing.analysed, which, *find(showing, name)));
                Change change = seen_once(model, patient, eye, name, from, k, now == nullptr, same_way, place_of(places, visits, which, name, now != nullptr ? from : k));
                if (change.verdict != Verdict::not_comparable && looks_the_same(showing, *find(showing, name), other, nullptr, which))
                    change.verdict = Verdict::not_comparable, change.volume = Unmeasured{say("reason.place_looks_the_same")};
                gone = now == nullptr && change.verdict == Verdict::removed;
                // What was not told at the date after is told once.
                const bool told = from + 1 == k || change.verdict != Verdict::not_comparable;
                if (told && !other.analysed.eye[which].views.empty()) model.changes.push_back(std::move(change));
            }
            if (now == nullptr) continue;
            if (before) {
                const AnalysedElement* earlier = find(visits[*before], name);
                const auto [c, recognised_in_part] = compare(patient, visits, which, name, *before, k);
                Change change{.eye = eye, .element = name, .from = model.timepoints[*before].id, .to = model.timepoints[k].id,
                              .days = model.timepoints[k].study_date.days_since(model.timepoints[*before].study_date)};
                change.same_method = c.same_method;
                change.volume = c.volume;
                change.smallest_detectable = c.smallest_detectable;
                change.largest_area = c.largest_area;
                change.largest_thickness = c.largest_thickness;
                change.anterior_margin_shift = c.anterior_margin_shift;
                const auto *wa = earlier->opinion.water_fraction.measured(), *wb = now->opinion.water_fraction.measured();
                if (wa != nullptr && wb != nullptr)
                    change.water_fraction = Measured<Fraction>::from_standard_uncertainty(
                        wb->value() - wa->value(), Fraction(std::hypot(wa->standard_uncertainty().value(), wb->standard_uncertainty().value())));
                else
                    change.water_fraction = Unmeasured{say("reason.water_not_at_both_dates")};
                change.verdict = verdict_of(c.verdict);
                if (recognised_in_part) {
                    const Unmeasured why{say("reason.place_looks_the_same")};
                    change.verdict = Verdict::not_comparable;
                    change.volume = why, change.largest_area = why;
                }
                const auto* growth = change.volume.measured();
                if (change.verdict == Verdict::enlarged && growth != nullptr && grew_without_water(*growth, earlier->opinion.evidence, now->opinion.evidence))
                    for (ElementEntry& e : model.timepoints[k].eye(eye).elements) e.material.growth_without_water = e.material.growth_without_water || e.id == name;
                model.changes.push_back(std::move(change));
            }
            before = k;
            gone = false;
            if (const auto* v = now->measured.volume.measured()) {
                const double years = model.timepoints[k].study_date.days_since(model.timepoints[0].study_date) / 365.25;
                ++count;
                sum_t += years, sum_v += v->value().value(), sum_tt += years * years, sum_tv += years * v->value().value();
                const double u = v->standard_uncertainty().value();
                variance += u * u;
            }
        }
        const double spread = count > 0 ? sum_tt - sum_t * sum_t / count : 0.0;
        if (count >= 2 && spread > 0.0) {
            const double rate = (sum_tv - sum_t * sum_v / count) / spread, doubt = std::sqrt(variance / count / spread);
            model.trends.push_back({eye, name, Measured<Mm3PerYear>::from_standard_uncertainty(Mm3PerYear(rate), Mm3PerYear(doubt)), std::nullopt});
        }
    }
}

}  // namespace perisclera
