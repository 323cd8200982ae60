// SPDX-License-Identifier: Apache-2.0
#include "perisclera/pipeline/entry_for_register.h"

#include <algorithm>

namespace perisclera {

namespace {

using namespace report;

/// Halfway along what it spans.
std::optional<ClockPosition> middle_of(const ElementEntry& e) {
    const auto *from = e.from.measured(), *span = e.span.measured();
    if (e.form == Form::encircling || !from || !span) return std::nullopt;
    return ClockPosition(from->value().value() + span->value().value() / 2.0);
}

StudyDate date_of(const ReportModel& model, const std::string& timepoint) {
    const auto at = std::find_if(model.timepoints.begin(), model.timepoints.end(), [&](const Timepoint& t) { return t.id == timepoint; });
    return at == model.timepoints.end() ? model.timepoints.back().study_date : at->study_date;
}

std::optional<LastChange> last_change(const ReportModel& model, Eye eye, const std::string& id) {
    std::optional<LastChange> last;
    for (const Change& change : model.changes) {
        if (change.eye != eye || change.element != id) continue;
        const StudyDate on = date_of(model, change.to);
        if (!last || !(on < last->on)) last = LastChange{on, std::string(name(change.verdict)), change.smallest_detectable};
    }
    return last;
}

ElementRecord record_of(const ReportModel& model, const Timepoint& point, Eye eye, const ElementEntry& e) {
    const auto trend = std::find_if(model.trends.begin(), model.trends.end(), [&](const Trend& t) { return t.eye == eye && t.element == e.id; });
    const auto& label = e.material.label;
    return {eye, e.id, std::string(name(e.form)), middle_of(e), point.study_date, e.volume, label ? std::string(name(*label)) : "undetermined",
            label ? std::optional(e.material.probabilities[*label]) : std::nullopt,
            trend == model.trends.end() ? Measurement<Mm3PerYear>(Unmeasured{say("register.no_rate")}) : trend->volume, last_change(model, eye, e.id)};
}

/// Each as the last date shows it that shows it at all.
void add_elements(RegisterEntry& entry, const ReportModel& model, Eye eye) {
    for (auto point = model.timepoints.rbegin(); point != model.timepoints.rend(); ++point)
        for (const ElementEntry& e : point->eye(eye).elements) {
            const bool told = std::any_of(entry.elements.begin(), entry.elements.end(), [&](const ElementRecord& r) { return r.eye == eye && r.id == e.id; });
            if (!told) entry.elements.push_back(record_of(model, *point, eye, e));
        }
}

/// The first that is stated, as for the patient ID: one image may name the issuer where another does not.
PatientText issuer_of(const PatientStudies& patient) {
    for (const Visit& visit : patient.visits)
        for (const StudyFiling& study : visit.studies)
            if (!study.patient_id_issuer.empty()) return study.patient_id_issuer;
    return {};
}

}  // namespace

RegisterEntry entry_for_register(const ReportModel& model, const PatientStudies& patient, std::string result_digest, std::optional<Eye> eye, bool with_identity) {
    RegisterEntry entry{.patient_id = patient.patient_id, .patient_id_issuer = issuer_of(patient), .patient_name = {}, .simulated = model.simulated,
                        .result_digest = std::move(result_digest), .series_digests = {}, .last_scan = model.timepoints.back().study_date, .eyes = {}, .elements = {}};
    if (with_identity) entry.patient_name = patient.patient_name;
    for (const Timepoint& point : model.timepoints)
        for (const SeriesEntry& series : point.series)
            if (!series.digest.empty()) entry.series_digests.push_back(series.digest);
    for (const Eye which : both_eyes) {
        if (eye && *eye != which) continue;
        entry.eyes.push_back(which);
        add_elements(entry, model, which);
    }
    return entry;
}

}  // namespace perisclera
