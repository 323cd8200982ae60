// SPDX-License-Identifier: Apache-2.0
#include "perisclera/report/render_dicom.h"

#include <algorithm>
#include <map>
#include <set>

#include <dcmtk/config/osconfig.h>
#include <dcmtk/dcmdata/dcuid.h>

#include "src/report/encapsulated_report.h"
#include "src/report/filing_study.h"
#include "src/report/key_image_object.h"
#include "src/report/segmentation_object.h"
#include "src/report/structured_report.h"

namespace perisclera::report {

namespace {

void list_segments(const ReportModel& model, const SegmentedSeries& series, const Moment& now, std::vector<FiledSegment>& segments) {
    const SegmentationUids uids = segmentation_uids(model, series, now);
    int number = 0;
    for (const Segment& s : series.segments)
        segments.push_back({{series.study_uid, uids.series_uid, UID_SegmentationStorage, uids.sop_instance_uid}, ++number, series.timepoint_id, series.series_uid, s.kind, s.eye, s.element_id});
}

std::string path(const std::string& visit, std::string_view kind, int number) { return "dicom/" + visit + "/" + std::string(kind) + "-" + std::to_string(number) + ".dcm"; }

Result<Done> add_segmentations(const ReportModel& model, const Identity& identity, const Moment& now, std::vector<FiledSegment>& segments, std::vector<OutputFile>& files) {
    std::map<std::string, int> written;   // of each visit
    for (const SegmentedSeries& series : model.segmented) {
        if (series.segments.empty()) continue;
        const int number = ++written[series.timepoint_id];
        auto bytes = segmentation_bytes(model, identity, series, now, number);
        if (!bytes) return bytes.error();
        files.push_back({path(series.timepoint_id, "segmentation", number), std::move(bytes).value()});
        list_segments(model, series, now, segments);
    }
    return Done{};
}

Result<Done> add_structured_reports(const ReportModel& model, const Identity& identity, const Moment& now, const std::vector<FiledSegment>& segments, std::vector<OutputFile>& files) {
    for (const Timepoint& visit : model.timepoints) {
        if (filing_study_uid(visit).empty()) continue;   // no images: nothing to file beside
        auto bytes = structured_report_bytes(model, identity, visit, segments, now);
        if (!bytes) return bytes.error();
        files.push_back({path(visit.id, "structured-report", 1), std::move(bytes).value()});
    }
    return Done{};
}

Result<Done> add_key_images(const ReportModel& model, const Identity& identity, const std::vector<OutputFile>& report, const Moment& now, std::vector<OutputFile>& files) {
    auto pictures = key_image_objects(model, identity, report, now);
    if (!pictures) return pictures.error();
    std::map<std::string, int> captures, selections;   // of each visit
    std::set<std::string> studies;
    for (FiledPicture& picture : pictures.value()) {
        files.push_back({path(picture.timepoint_id, "key-image", ++captures[picture.timepoint_id]), std::move(picture.bytes)});
        const std::string& study = picture.capture.study_uid;
        if (!studies.insert(study).second) continue;
        auto bytes = key_object_selection_bytes(model, identity, pictures.value(), study, now);
        if (!bytes) return bytes.error();
        files.push_back({path(picture.timepoint_id, "key-objects", ++selections[picture.timepoint_id]), std::move(bytes).value()});
    }
    return Done{};
}

Result<Done> add_document(const ReportModel& model, const Identity& identity, const std::vector<OutputFile>& report, const Moment& now, std::vector<OutputFile>& files) {
    const auto pdf = std::find_if(report.begin(), report.end(), [](const OutputFile& f) { return f.path == "report.pdf"; });
    if (pdf == report.end() || model.timepoints.empty() || filing_study_uid(model.timepoints.back()).empty()) return Done{};
    auto bytes = encapsulated_report_bytes(model, identity, pdf->bytes, now);
    if (!bytes) return bytes.error();
    files.push_back({path(model.timepoints.back().id, "document", 1), std::move(bytes).value()});
    return Done{};
}

}  // namespace

Result<std::vector<OutputFile>> render_dicom(const ReportModel& model, const Identity& identity, const std::vector<OutputFile>& report, const Moment& now) {
    std::vector<OutputFile> files;
    std::vector<FiledSegment> segments;
    if (const auto done = add_segmentations(model, identity, now, segments, files); !done) return done.error();
    if (const auto done = add_structured_reports(model, identity, now, segments, files); !done) return done.error();
    if (const auto done = add_key_images(model, identity, report, now, files); !done) return done.error();
    if (const auto done = add_document(model, identity, report, now, files); !done) return done.error();
    return files;
}

}  // namespace perisclera::report
