// SPDX-License-Identifier: Apache-2.0
#include "perisclera/pipeline/identify.h"

#include <algorithm>
#include <iterator>
#include <mutex>

#include "element_names.h"
#include "eye_shapes.h"
#include "key_images.h"
#include "later_judgement.h"
#include "perisclera/alignment/one_frame.h"
#include "perisclera/assemble/series_role.h"
#include "perisclera/core/text.h"
#include "perisclera/report/considerations.h"
#include "pieces_across_visits.h"
#include "recorded_operation.h"
#include "report_filling.h"
#include "scroll_stacks.h"
#include "segmented_series.h"
#include "visit_changes.h"
#include "wall_profiles.h"

namespace perisclera {

namespace {

using namespace report;

/// Finds the eyes of every series of every visit.
std::vector<std::vector<SeriesViews>> view_visits(const PatientStudies& patient, int threads, const AnalysisProgress& progress) {
    std::vector<SeriesInVisit> all;
    for (const Visit& visit : patient.visits)
        for (std::size_t s = 0; s < visit.series.size(); ++s) all.push_back({&visit.series[s], s});
    std::mutex told;
    int done = 0;
    std::vector<SeriesViews> seen = view_all(all, threads, [&] {
        const std::scoped_lock lock(told);
        ++done;
        if (progress) progress(done, static_cast<int>(all.size()));
    });
    std::vector<std::vector<SeriesViews>> views;
    auto next = std::make_move_iterator(seen.begin());
    for (const Visit& visit : patient.visits) {
        const auto last = next + static_cast<std::ptrdiff_t>(visit.series.size());
        views.emplace_back(next, last);
        next = last;
    }
    return views;
}

std::vector<AnalysedVisit> analyse_all(const PatientStudies& patient, std::vector<std::vector<SeriesViews>> views, int threads) {
    std::vector<AnalysedVisit> analysed;
    for (std::size_t k = 0; k < patient.visits.size(); ++k) {
        std::vector<const VoxelGrid*> grids;
        for (const ImageSeries& series : patient.visits[k].series) grids.push_back(&series.grid());
        bring_into_one_frame(views[k], grids, threads);
        analysed.push_back(analyse_visit(std::move(views[k]), grids, threads));
    }
    return analysed;
}

std::vector<StudyDate> dates_of(const PatientStudies& patient) {
    std::vector<StudyDate> dates;
    for (const Visit& visit : patient.visits) dates.push_back(visit.date);
    return dates;
}

std::string timepoint_id(std::size_t visit) { return "t" + std::to_string(visit + 1); }

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
    std::vector<std::vector<SeriesViews>> views = view_visits(patient, options.threads, progress);
    ElementNames names;
    std::vector<NamedVisit> visits;
    bool any_globe = false;
    std::optional<Error> conflict;
    std::vector<Error> not_shown;
    // The eye that was not asked for is analysed all the same: it tells what is normal in this patient.
    const auto asked_for = [&](Eye eye) { return !options.eye || *options.eye == eye; };
    std::vector<AnalysedVisit> analysed_visits = analyse_all(patient, std::move(views), options.threads);
    join_pieces(analysed_visits);
    const std::vector<PlaceAtVisit> places = look_where_expected_elsewhere(analysed_visits, dates_of(patient));
    for (AnalysedVisit& analysed : analysed_visits) {
        take_gas(analysed);
        NamedVisit named{std::move(analysed), {}};
        for (const Eye eye : both_eyes)
            if (asked_for(eye)) named.names[eye == Eye::right ? 0 : 1] = names.name(eye, named.analysed.eye[eye == Eye::right ? 0 : 1].elements);
        visits.push_back(std::move(named));
    }
    const std::array compared{compare_dates(patient, visits, 0), compare_dates(patient, visits, 1)};
    for (const std::size_t which : {0u, 1u}) take_growth(patient, visits, which, compared[which]);
    if (options.prior != prior_share)
        for (NamedVisit& visit : visits) judge_under(visit.analysed, options.prior);
    for (std::size_t k = 0; k < patient.visits.size(); ++k) {
        const Visit& visit = patient.visits[k];
        const NamedVisit& named = visits[k];
        Timepoint point{.id = timepoint_id(k), .study_date = visit.date, .series = {}, .right = {}, .left = {}};
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
            point.eye(eye) = eye_entry(named.analysed, visit, eye, named.names[which]);
            for (ElementEntry& e : point.eye(eye).elements) add_record(e, options.record[which], options.prior);
            for (std::size_t e = 0; e < analysed.elements.size(); ++e)
                if (const auto from = analysed.elements[e].expected_from) point.eye(eye).elements[e].expected_from = timepoint_id(*from);
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
    }
    for (const std::size_t which : {0u, 1u}) add_changes(model, patient, visits, places, which, compared[which]);
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
