// SPDX-License-Identifier: Apache-2.0
#include "visit_changes.h"

#include <algorithm>
#include <set>

#include "perisclera/core/text.h"
#include "perisclera/material/hydrogel_swelling.h"
#include "perisclera/report/wording.h"

namespace perisclera {

namespace {

using namespace report;

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

Change change_between(const ReportModel& model, Eye eye, const std::string& name, std::size_t from, std::size_t to) {
    return {.eye = eye, .element = name, .from = model.timepoints[from].id, .to = model.timepoints[to].id, .days = model.timepoints[to].study_date.days_since(model.timepoints[from].study_date)};
}

/// An element seen at only one of two dates: removed or new where the other date was looked at in the same way, or shows a free wall there. `place`: what the other date
/// shows at its place, or nullptr where it was not looked at.
Change seen_once(const ReportModel& model, const PatientStudies& patient, Eye eye, const std::string& name, std::size_t from, std::size_t to, bool seen_before, bool same_way, const PlaceAtVisit* place) {
    Change change = change_between(model, eye, name, from, to);
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

/// The straight line through all volumes of an element by time.
class Rate {
public:
    void add(double years, const Measured<Mm3>& volume) {
        const double v = volume.value().value(), u = volume.standard_uncertainty().value();
        ++count_;
        sum_t_ += years, sum_v_ += v, sum_tt_ += years * years, sum_tv_ += years * v, variance_ += u * u;
    }
    /// Nothing of a single date.
    [[nodiscard]] std::optional<Measured<Mm3PerYear>> told() const {
        const double spread = count_ > 0 ? sum_tt_ - sum_t_ * sum_t_ / count_ : 0.0;
        if (count_ < 2 || !(spread > 0.0)) return std::nullopt;
        return Measured<Mm3PerYear>::from_standard_uncertainty(Mm3PerYear((sum_tv_ - sum_t_ * sum_v_ / count_) / spread), Mm3PerYear(std::sqrt(variance_ / count_ / spread)));
    }

private:
    double sum_t_ = 0, sum_v_ = 0, sum_tt_ = 0, sum_tv_ = 0, variance_ = 0;
    int count_ = 0;
};

Measurement<Fraction> change_of_water(const MaterialOpinion& before, const MaterialOpinion& after) {
    const auto *a = before.water_fraction.measured(), *b = after.water_fraction.measured();
    if (a == nullptr || b == nullptr) return Unmeasured{say("reason.water_not_at_both_dates")};
    return Measured<Fraction>::from_standard_uncertainty(b->value() - a->value(), Fraction(std::hypot(a->standard_uncertainty().value(), b->standard_uncertainty().value())));
}

/// An element that both dates show.
Change seen_twice(const ReportModel& model, const std::vector<NamedVisit>& visits, std::size_t which, Eye eye, const ComparedDates& compared) {
    const ElementChange& c = compared.change;
    Change change = change_between(model, eye, compared.name, compared.before, compared.after);
    change.same_method = c.same_method;
    change.under_one_number = c.under_one_number;
    change.volume = c.volume;
    change.smallest_detectable = c.smallest_detectable;
    change.largest_area = c.largest_area;
    change.largest_thickness = c.largest_thickness;
    change.anterior_margin_shift = c.anterior_margin_shift;
    change.water_fraction = change_of_water(find_element(visits[compared.before], which, compared.name)->opinion, find_element(visits[compared.after], which, compared.name)->opinion);
    change.verdict = verdict_of(c.verdict);
    if (compared.recognised_in_part) {
        const Unmeasured why{say(compared.in_pieces ? "reason.piece_may_be_missing" : "reason.place_looks_the_same")};
        change.verdict = Verdict::not_comparable;
        change.volume = why, change.largest_area = why;
    }
    return change;
}

}  // namespace

void take_growth(const PatientStudies& patient, std::vector<NamedVisit>& visits, std::size_t which, const std::vector<ComparedDates>& compared) {
    const auto judge_with = [&](std::size_t k, const std::string& name, Reading growth) {
        const auto& names = visits[k].names[which];
        AnalysedElement& element = visits[k].analysed.eye[which].elements[static_cast<std::size_t>(std::find(names.begin(), names.end(), name) - names.begin())];
        std::vector<Reading> readings = readings_of(element.opinion);
        growth.series = visits[k].analysed.views(which)[element.element.view]->series;
        readings.push_back(growth);
        element.opinion = judge_material(readings);
    };
    std::set<std::string> told;   // elements whose growth was taken where they were first seen
    for (const ComparedDates& c : compared) {
        const auto* volume = c.change.volume.measured();
        if (volume == nullptr || c.change.verdict == ChangeVerdict::partly_removed || c.recognised_in_part) continue;
        const double days = patient.visits[c.after].date.days_since(patient.visits[c.before].date);
        const Reading growth{.kind = EvidenceKind::growth, .series = 0, .value = 1.0 + volume->value().value() / 100.0, .uncertainty = volume->standard_uncertainty().value() / 100.0, .years = days / 365.25};
        if (told.insert(c.name).second) judge_with(c.before, c.name, growth);
        judge_with(c.after, c.name, growth);
    }
}

void add_changes(ReportModel& model, const PatientStudies& patient, const std::vector<NamedVisit>& visits, const std::vector<PlaceAtVisit>& places, std::size_t which,
                 const std::vector<ComparedDates>& compared) {
    const Eye eye = which == 0 ? Eye::right : Eye::left;
    std::vector<std::string> names;
    for (const NamedVisit& v : visits)
        for (const std::string& n : v.names[which])
            if (std::find(names.begin(), names.end(), n) == names.end()) names.push_back(n);
    for (const std::string& name : names) {
        std::optional<std::size_t> before;
        bool gone = false;   // told to be, at a date after `before`
        Rate rate;
        for (std::size_t k = 0; k < visits.size(); ++k) {
            const AnalysedElement* now = find_element(visits[k], which, name);
            // An element against the last date that shows it, until it is told to be gone; a new one against the date before.
            if (k > 0 && (now != nullptr ? !before : before.has_value() && !gone)) {
                const std::size_t from = now != nullptr ? k - 1 : *before;
                const NamedVisit& showing = now != nullptr ? visits[k] : visits[from];
                const NamedVisit& other = now != nullptr ? visits[from] : visits[k];
                const AnalysedElement& shown = *find_element(showing, which, name);
                const PlaceAtVisit* place = place_of(places, visits, which, name, now != nullptr ? from : k);
                Change change = seen_once(model, patient, eye, name, from, k, now == nullptr, looked_the_same_way(other.analysed, which, showing, shown), place);
                if (change.verdict != Verdict::not_comparable && looks_the_same(showing, shown, other, nullptr, which))
                    change.verdict = Verdict::not_comparable, change.volume = Unmeasured{say("reason.place_looks_the_same")};
                gone = now == nullptr && change.verdict == Verdict::removed;
                // What was not told at the date after is told once.
                const bool told = from + 1 == k || change.verdict != Verdict::not_comparable;
                if (told && !other.analysed.eye[which].views.empty()) model.changes.push_back(std::move(change));
            }
            if (now == nullptr) continue;
            const auto twice = std::find_if(compared.begin(), compared.end(), [&](const ComparedDates& c) { return c.name == name && c.after == k; });
            if (twice != compared.end()) {
                Change change = seen_twice(model, visits, which, eye, *twice);
                const auto* growth = change.volume.measured();
                if (change.verdict == Verdict::enlarged && growth != nullptr &&
                    grew_without_water(*growth, find_element(visits[twice->before], which, name)->opinion.evidence, now->opinion.evidence))
                    for (ElementEntry& e : model.timepoints[k].eye(eye).elements) e.material.growth_without_water = e.material.growth_without_water || e.id == name;
                model.changes.push_back(std::move(change));
            }
            before = k;
            gone = false;
            if (const auto* v = now->measured.volume.measured()) rate.add(model.timepoints[k].study_date.days_since(model.timepoints[0].study_date) / 365.25, *v);
        }
        if (const auto told = rate.told()) model.trends.push_back({eye, name, *told, std::nullopt});
    }
}

}  // namespace perisclera
