// SPDX-License-Identifier: Apache-2.0
#include "src/report/structured_report.h"

#include <dcmtk/config/osconfig.h>
#include <dcmtk/dcmdata/dcuid.h>

#include <algorithm>
#include <set>

#include "perisclera/core/text.h"
#include "perisclera/dicom/uid.h"
#include "src/report/filing_study.h"
#include "src/report/measurement_items.h"
#include "src/report/report_groups.h"
#include "src/report/warning_words.h"
#include "src/report/word_list.h"

namespace perisclera::report {

namespace {

using enum Relation;

constexpr int series_number = 9200;

/// Language, observer and procedure: TID 1204, 1002 and 1004, CID 100.
void put_context(ContentTree& tree, const Timepoint& visit) {
    tree.code(concept_modifier, codes::language, codes::english);
    tree.code(observation_context, codes::observer_type, codes::device);
    tree.uid(observation_context, codes::device_uid, uid_from(device_observer));
    tree.text(observation_context, codes::device_name, model_name);
    tree.text(observation_context, codes::device_manufacturer, manufacturer);
    tree.text(observation_context, codes::device_model, model_name);
    tree.text(observation_context, codes::device_serial, device_serial_number);
    for (const Modality modality : {Modality::ct, Modality::mr})
        if (std::any_of(visit.series.begin(), visit.series.end(), [&](const SeriesEntry& s) { return s.used && s.modality == modality; }))
            tree.code(concept_modifier, codes::procedure_reported, modality == Modality::ct ? codes::ct_procedure : codes::mr_procedure);
}

/// The images of one series, each once: the frames of an enhanced image are one.
std::vector<InstanceReference> images_of(const SegmentedSeries& series) {
    std::vector<InstanceReference> images;
    std::set<std::string> seen;
    for (const SourceSlice& slice : series.slices)
        if (seen.insert(slice.sop_instance_uid).second) images.push_back({series.study_uid, series.series_uid, slice.sop_class_uid, slice.sop_instance_uid});
    return images;
}

/// TID 1600: a group for each used series.
void put_image_library(ContentTree& tree, const ReportContext& context) {
    const auto of_visit = [&](const SegmentedSeries& s) { return s.timepoint_id == context.visit.id; };
    if (std::none_of(context.model.segmented.begin(), context.model.segmented.end(), of_visit)) return;
    tree.container(contains, codes::image_library, [&] {
        for (const SegmentedSeries& series : context.model.segmented) {
            if (!of_visit(series)) continue;
            tree.container(contains, codes::image_library_group, [&] {
                tree.code(acquisition_context, codes::modality, series.modality == Modality::ct ? codes::computed_tomography : codes::magnetic_resonance);
                tree.code(acquisition_context, codes::target_region, codes::orbit);
                if (!series.frame_of_reference_uid.empty()) tree.uid(acquisition_context, codes::frame_of_reference, series.frame_of_reference_uid);
                for (const SeriesEntry& entry : context.visit.series)
                    if (entry.series_uid == series.series_uid) tree.text(acquisition_context, own("Role of the series"), in_words(entry.role, entry.modality));
                for (const InstanceReference& image : images_of(series)) tree.image(contains, nullptr, image);
            });
        }
    });
}

/// TID 4019.
void put_algorithm(ContentTree& tree, const ReportModel& model) {
    tree.text(concept_modifier, codes::algorithm_name, model_name);
    tree.text(concept_modifier, codes::algorithm_version, model.version);
    tree.text(concept_modifier, codes::algorithm_parameters, say("filed.material_table", {{"version", model.reference_table}}));
}

Code presence_code(Presence presence) {
    switch (presence) {
        case Presence::present: return codes::present;
        case Presence::absent: return codes::absent;
        case Presence::uncertain: break;
    }
    return codes::uncertain;
}

std::string paragraph(const std::string& heading, std::vector<std::string> sentences) {
    sentences.insert(sentences.begin(), heading + ".");
    return joined(sentences, " ");
}

/// What was known at this visit: later ones are left out, so that the words are those of its own page.
ReportModel up_to(const ReportModel& model, const Timepoint& visit) {
    ReportModel known;
    known.options = model.options;
    for (const Timepoint& t : model.timepoints) {
        known.timepoints.push_back(t);
        if (&t == &visit) break;
    }
    const auto is_known = [&](const Change& c) { return std::any_of(known.timepoints.begin(), known.timepoints.end(), [&](const Timepoint& t) { return t.id == c.to; }); };
    std::copy_if(model.changes.begin(), model.changes.end(), std::back_inserter(known.changes), is_known);
    return known;
}

void put_words(ContentTree& tree, const ReportContext& context) {
    const auto words = [&](const std::string& text) { tree.text(contains, own("Finding in words"), text); };
    const ReportModel known = up_to(context.model, context.visit);
    for (const Eye eye : both_eyes) {
        const EyeFinding found = finding(known, eye);
        words(paragraph(found.headline, found.sentences));
        for (const ElementFinding& element : found.elements) words(paragraph(element.title, element.sentences));
        if (!found.globe.empty()) words(joined(found.globe, " "));
    }
    if (context.model.simulated) tree.text(contains, own("Caution"), say("filed.no_patient"));
    tree.text(contains, own("Caution"), std::string(statement()));
    tree.text(contains, own("Caution"), say("filed.uncertainty"));
    for (const Error& warning : context.model.warnings) tree.text(contains, own("Warning"), warning_in_words(warning));
}

/// Negative results stand here as well.
void put_evaluations(ContentTree& tree, const ReportContext& context) {
    tree.container(contains, codes::qualitative_evaluations, [&] {
        put_algorithm(tree, context.model);
        for (const Eye eye : both_eyes)
            tree.code(contains, own("Explant for retinal detachment"), presence_code(context.visit.eye(eye).explant.presence),
                      [&] { tree.code(concept_modifier, codes::laterality, side(eye)); });
        put_words(tree, context);
    });
}

void put_evidence(ContentTree& tree, const ReportContext& context, const std::string& study_uid) {
    for (const SegmentedSeries& series : context.model.segmented)
        if (series.timepoint_id == context.visit.id)
            for (const InstanceReference& image : images_of(series)) tree.evidence(image, image.study_uid == study_uid);
    for (const FiledSegment& segment : context.segments) tree.evidence(segment.segmentation, segment.segmentation.study_uid == study_uid);
}

}  // namespace

std::string structured_report_uid(const ReportModel& model, const Timepoint& visit, const Moment& now) { return filed_uid(model, now, "structured report/" + visit.id); }

Result<std::string> structured_report_bytes(const ReportModel& model, const Identity& identity, const Timepoint& visit, const std::vector<FiledSegment>& segments, const Moment& now) {
    std::vector<FiledSegment> shown;
    std::copy_if(segments.begin(), segments.end(), std::back_inserter(shown), [&](const FiledSegment& s) { return s.timepoint_id == visit.id; });
    const ReportContext context{model, identity, visit, shown};
    ContentTree tree(ContentTree::Kind::measurement_report, codes::measurement_report);
    put_context(tree, visit);
    put_image_library(tree, context);
    tree.container(contains, codes::imaging_measurements, [&] {
        put_algorithm(tree, model);
        for (const Eye eye : both_eyes)
            for (const ElementEntry& element : visit.eye(eye).elements) put_element_group(tree, context, eye, element);
        for (const Eye eye : both_eyes) put_eye_groups(tree, context, eye);
    });
    if (has_changes(context)) tree.container(contains, codes::derived_measurements, [&] {
        put_algorithm(tree, model);
        put_change_groups(tree, context);
    });
    put_evaluations(tree, context);
    const StudyFiling study = filing_of(identity, filing_study_uid(visit));
    put_evidence(tree, context, study.study_uid);
    const std::string uid = structured_report_uid(model, visit, now);
    return tree.bytes(study, {filed_uid(model, now, "structured report series/" + visit.id), "SR", series_description(model, "filed.measurements"), series_number}, {UID_Comprehensive3DSRStorage, uid, 1}, now);
}

}  // namespace perisclera::report
