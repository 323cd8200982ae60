// SPDX-License-Identifier: Apache-2.0
#include "perisclera/pipeline/identify.h"

#include <algorithm>
#include <atomic>
#include <iterator>
#include <mutex>

#include "eye_shapes.h"
#include "key_images.h"
#include "perisclera/alignment/one_frame.h"
#include "perisclera/assemble/series_role.h"
#include "perisclera/core/shared_work.h"
#include "perisclera/core/text.h"
#include "perisclera/material/hydrogel_swelling.h"
#include "perisclera/report/considerations.h"
#include "perisclera/timeline/element_change.h"
#include "perisclera/timeline/place_left.h"
#include "perisclera/timeline/shared_error.h"
#include "recorded_operation.h"
#include "report_filling.h"
#include "scroll_stacks.h"
#include "segmented_series.h"
#include "wall_profiles.h"

namespace perisclera {

namespace {

using namespace report;

/// Finds the eyes of every series of every visit. Series are shared out among threads; each result has its own place, so
/// their number cannot change anything.
std::vector<std::vector<SeriesViews>> view_all(const PatientStudies& patient, int threads, const AnalysisProgress& progress) {
    struct Task {
        std::size_t visit, series;
    };
    std::vector<Task> tasks;
    std::vector<std::vector<SeriesViews>> views(patient.visits.size());
    for (std::size_t v = 0; v < patient.visits.size(); ++v) {
        views[v].resize(patient.visits[v].series.size());
        for (std::size_t s = 0; s < patient.visits[v].series.size(); ++s) tasks.push_back({v, s});
    }
    std::atomic<std::size_t> next{0};
    std::mutex told;
    int done = 0;
    const auto work = [&] {
        for (std::size_t k = next++; k < tasks.size(); k = next++) {
            const auto [v, s] = tasks[k];
            views[v][s] = view_series(patient.visits[v].series[s], s);
            const std::scoped_lock lock(told);
            ++done;
            if (progress) progress(done, static_cast<int>(tasks.size()));
        }
    };
    share_work(std::min(threads, static_cast<int>(tasks.size())), work);
    return views;
}

/// Elements keep their name: each is matched to the last visit that shows it.
class ElementNames {
public:
    std::vector<std::string> name(Eye eye, const std::vector<AnalysedElement>& elements) {
        auto& known = known_[eye == Eye::right ? 0 : 1];
        std::vector<std::string> names(elements.size());
        std::vector<char> taken(known.size(), 0);
        for (std::size_t k = 0; k < elements.size(); ++k)
            for (std::size_t i = 0; i < taken.size(); ++i) {
                if (taken[i] || !names[k].empty() || !likely_same(known[i].last, elements[k].measured, typical_radius_mm)) continue;
                taken[i] = 1;
                names[k] = known[i].name;
                known[i].last = elements[k].measured;
            }
        for (std::size_t k = 0; k < elements.size(); ++k) {
            if (!names[k].empty()) continue;
            names[k] = (eye == Eye::right ? "R" : "L") + std::to_string(known.size() + 1);
            known.push_back({names[k], elements[k].measured});
        }
        return names;
    }

private:
    static constexpr double typical_radius_mm = 12.0;
    struct Known {
        std::string name;
        ElementMeasurements last;
    };
    std::array<std::vector<Known>, 2> known_;
};

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

struct NamedVisit {
    AnalysedVisit analysed;
    std::array<std::vector<std::string>, 2> names;
};

std::vector<KeyImage> images_of(const NamedVisit& named, const Visit& visit, Eye eye, const std::string& timepoint) {
    const std::size_t which = eye == Eye::right ? 0 : 1;
    const std::vector<AnalysedElement>& elements = named.analysed.eye[which].elements;
    if (elements.empty()) return overview_images(named.analysed, visit, eye, timepoint);
    std::vector<KeyImage> all;
    for (std::size_t e = 0; e < elements.size(); ++e) {
        auto images = element_images(named.analysed, visit, eye, elements[e], named.names[which][e], timepoint);
        std::move(images.begin(), images.end(), std::back_inserter(all));
    }
    return all;
}

/// Slices and surfaces of the last visit that shows the eye.
void add_drawings(ReportModel& model, const std::vector<NamedVisit>& visits, const PatientStudies& patient, Eye eye) {
    const std::size_t which = eye == Eye::right ? 0 : 1;
    for (std::size_t k = visits.size(); k-- > 0;) {
        if (visits[k].analysed.eye[which].views.empty()) continue;
        auto stacks = scroll_stacks(visits[k].analysed, patient.visits[k], eye, visits[k].names[which], model.timepoints[k].id);
        std::move(stacks.begin(), stacks.end(), std::back_inserter(model.scroll_stacks));
        model.eye_shapes.push_back(eye_shape(visits[k].analysed, eye, visits[k].names[which], model.timepoints[k].id));
        return;
    }
}

/// Could this visit have shown an element that was measured by `method` elsewhere?
bool looked_the_same_way(const AnalysedVisit& visit, std::size_t which, int method) {
    const std::vector<const EyeView*> views = visit.views(which);
    return visit.eye[which].whole && std::any_of(views.begin(), views.end(), [&](const EyeView* v) { return method_of(*v) == method; });
}

/// Of an element that is found in one visit and not, or only in part, in another: does its place there look the same? `found`: what was found of it there, or nullptr.
bool looks_the_same(const NamedVisit& showing, const AnalysedElement& element, const NamedVisit& other, const AnalysedElement* found, std::size_t which) {
    constexpr double the_same = 0.5;
    const EyeView& shown = *showing.analysed.views(which)[element.element.view];
    const std::vector<const EyeView*> views = other.analysed.views(which);
    const auto stands_out = [&](const EyeView* v) {
        if (method_of(*v) != method_of(shown)) return false;
        const auto share = still_stands_out(shown.block, element.element.found, v->block, found != nullptr ? &found->element.found : nullptr);
        return share && *share > the_same;
    };
    return std::any_of(views.begin(), views.end(), stands_out);
}

/// An element seen at only one of two dates: removed or new where the other date was looked at in the same way.
Change seen_once(const ReportModel& model, Eye eye, const std::string& name, std::size_t from, std::size_t to, bool seen_before, bool same_way) {
    Change change{.eye = eye, .element = name, .from = model.timepoints[from].id, .to = model.timepoints[to].id,
                  .days = model.timepoints[to].study_date.days_since(model.timepoints[from].study_date)};
    change.verdict = !same_way ? Verdict::not_comparable : seen_before ? Verdict::removed : Verdict::new_element;
    change.volume = Unmeasured{say(!same_way ? "reason.other_date_would_not_show" : seen_before ? "reason.no_longer_seen" : "reason.not_seen_before")};
    return change;
}

void add_changes(ReportModel& model, const PatientStudies& patient, const std::vector<NamedVisit>& visits, std::size_t which) {
    const Eye eye = which == 0 ? Eye::right : Eye::left;
    const auto find = [&](const NamedVisit& v, const std::string& name) -> const AnalysedElement* {
        const auto it = std::find(v.names[which].begin(), v.names[which].end(), name);
        return it == v.names[which].end() ? nullptr : &v.analysed.eye[which].elements[static_cast<std::size_t>(it - v.names[which].begin())];
    };
    std::vector<std::string> names;
    for (const NamedVisit& v : visits)
        for (const std::string& n : v.names[which])
            if (std::find(names.begin(), names.end(), n) == names.end()) names.push_back(n);
    for (const std::string& name : names) {
        std::optional<std::size_t> before;
        double sum_t = 0, sum_v = 0, sum_tt = 0, sum_tv = 0, variance = 0;
        int count = 0;
        for (std::size_t k = 0; k < visits.size(); ++k) {
            const AnalysedElement* now = find(visits[k], name);
            const bool seen_earlier = k > 0 && find(visits[k - 1], name) != nullptr;
            if (k > 0 && (now != nullptr) != seen_earlier && (now == nullptr || !before)) {
                const NamedVisit& showing = now != nullptr ? visits[k] : visits[k - 1];
                const NamedVisit& other = now != nullptr ? visits[k - 1] : visits[k];
                const bool same_way = looked_the_same_way(other.analysed, which, method_of(showing.analysed, which, *find(showing, name)));
                Change change = seen_once(model, eye, name, k - 1, k, now == nullptr, same_way);
                if (change.verdict != Verdict::not_comparable && looks_the_same(showing, *find(showing, name), other, nullptr, which))
                    change.verdict = Verdict::not_comparable, change.volume = Unmeasured{say("reason.place_looks_the_same")};
                if (!other.analysed.eye[which].views.empty()) model.changes.push_back(std::move(change));
            }
            if (now == nullptr) continue;
            if (before) {
                const AnalysedElement* earlier = find(visits[*before], name);
                const auto images = [&](std::size_t visit, const AnalysedElement& e) { return measured_on(patient.visits[visit].series[visits[visit].analysed.views(which)[e.element.view]->series]); };
                const ElementChange c = compare_elements(earlier->measured, now->measured, method_of(visits[*before].analysed, which, *earlier) == method_of(visits[k].analysed, which, *now),
                                                         shared_share(images(*before, *earlier), images(k, *now)));
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
                // More or fewer clock hours, and these look the same at both dates: once it was recognised in part only, and no size of it can be compared.
                const bool less = change.verdict == Verdict::shrunk || change.verdict == Verdict::partly_removed, more = change.verdict == Verdict::enlarged;
                if (change.same_method && ((less && looks_the_same(visits[*before], *earlier, visits[k], now, which)) || (more && looks_the_same(visits[k], *now, visits[*before], earlier, which)))) {
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

/// The catalogue's text that says that this eye's globe was not found.
std::string_view no_globe_key(Eye eye, GlobeMissing missing) {
    const bool right = eye == Eye::right;
    if (missing == GlobeMissing::outside_images) return right ? "warning.right_globe_outside" : "warning.left_globe_outside";
    return right ? "warning.no_right_globe" : "warning.no_left_globe";
}

}  // namespace

Result<ReportModel> identify(const PatientStudies& patient, const IdentifyOptions& options, const AnalysisProgress& progress) {
    ReportModel model;
    model.reference_table = std::string(material_table_version());
    model.warnings = patient.warnings;
    std::vector<std::vector<SeriesViews>> views = view_all(patient, options.threads, progress);
    ElementNames names;
    std::vector<NamedVisit> visits;
    bool any_globe = false;
    std::optional<Error> conflict;
    std::vector<Error> not_shown;
    // The eye that was not asked for is analysed all the same: it tells what is normal in this patient.
    const auto asked_for = [&](Eye eye) { return !options.eye || *options.eye == eye; };
    for (std::size_t k = 0; k < patient.visits.size(); ++k) {
        const Visit& visit = patient.visits[k];
        std::vector<const VoxelGrid*> grids;
        for (const ImageSeries& series : visit.series) grids.push_back(&series.grid());
        bring_into_one_frame(views[k], grids);
        NamedVisit named{analyse_visit(std::move(views[k]), grids, options.threads), {}};
        Timepoint point{.id = "t" + std::to_string(k + 1), .study_date = visit.date, .series = {}, .right = {}, .left = {}};
        const std::string examination = say("warning.examination", {{"visit", point.id}});
        for (std::size_t s = 0; s < visit.series.size(); ++s) {
            const bool used = named.analysed.series[s].eye[0].has_value() || named.analysed.series[s].eye[1].has_value();
            point.series.push_back(series_entry(visit.series[s].description, &visit.series[s].grid(), used));
            if (const auto& told = named.analysed.series[s].role_by_image) take_role_by_image(point.series.back(), *told);
            std::vector<std::string>& problems = point.series.back().problems;
            const std::vector<std::string>& seen = named.analysed.series[s].problems;
            problems.insert(problems.end(), seen.begin(), seen.end());
            if (const auto& words = named.analysed.series[s].conflict) {
                const Error error{ErrorCode::eye_conflict, *words, examination, say("warning.which_eye")};
                model.warnings.push_back(error);
                if (!conflict) conflict = error;
            } else if (!used) {
                problems.push_back(say(is_silent(visit.series[s].description) ? "series.weighting_unknown" : "series.no_globe"));
            }
            model.simulated = model.simulated || visit.series[s].description.simulated;
        }
        for (const SeriesDescription& d : visit.unused) point.series.push_back(series_entry(d, nullptr, false));
        for (const Eye eye : both_eyes) {
            const std::size_t which = eye == Eye::right ? 0 : 1;
            const AnalysedEye& analysed = named.analysed.eye[which];
            if (!asked_for(eye)) {
                point.eye(eye).globe.axial_length = point.eye(eye).globe.equatorial_diameter = Unmeasured{say("reason.not_asked_for")};
                continue;
            }
            named.names[which] = names.name(eye, analysed.elements);
            point.eye(eye) = eye_entry(named.analysed, visit, eye, named.names[which]);
            for (ElementEntry& e : point.eye(eye).elements) add_record(e, options.record[which]);
            auto profiles = wall_profiles(named.analysed, visit, eye, named.names[which], point.id);
            std::move(profiles.begin(), profiles.end(), std::back_inserter(model.profiles));
            any_globe = any_globe || !analysed.views.empty();
            if (analysed.views.empty())
                not_shown.push_back({ErrorCode::no_globe, say(no_globe_key(eye, analysed.missing)), examination, say("warning.cover_both_orbits")});
            if (!analysed.views.empty() && !analysed.whole)
                model.warnings.push_back({ErrorCode::incomplete, say(eye == Eye::right ? "warning.right_globe_cut" : "warning.left_globe_cut"), examination, say("warning.give_whole_eye")});
        }
        // The eye with a finding comes first.
        for (const bool with_elements : {true, false})
            for (const Eye eye : both_eyes) {
                const std::size_t which = eye == Eye::right ? 0 : 1;
                if (!asked_for(eye) || named.analysed.eye[which].elements.empty() == with_elements) continue;
                auto images = images_of(named, visit, eye, point.id);
                std::move(images.begin(), images.end(), std::back_inserter(model.key_images));
            }
        auto segmented = segmented_series(named.analysed, visit, {asked_for(Eye::right), asked_for(Eye::left)}, named.names, point.id);
        std::move(segmented.begin(), segmented.end(), std::back_inserter(model.segmented));
        model.timepoints.push_back(std::move(point));
        visits.push_back(std::move(named));
    }
    for (std::size_t which = 0; which < 2; ++which) add_changes(model, patient, visits, which);
    for (const Eye eye : both_eyes)
        if (asked_for(eye)) add_drawings(model, visits, patient, eye);
    if (!any_globe && conflict) return *conflict;
    if (any_globe)
        std::move(not_shown.begin(), not_shown.end(), std::back_inserter(model.warnings));
    else
        model.warnings.push_back({ErrorCode::no_globe, say("warning.no_globe"), say("warning.all_series"), say("warning.cover_the_orbits")});
    model.considerations = considerations(model);
    return model;
}

}  // namespace perisclera
