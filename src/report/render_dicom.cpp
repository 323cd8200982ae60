// SPDX-License-Identifier: Apache-2.0
#include "perisclera/report/render_dicom.h"

#include <map>

#include <dcmtk/config/osconfig.h>
#include <dcmtk/dcmdata/dcuid.h>

#include "src/report/filing_study.h"
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

}  // namespace

Result<std::vector<OutputFile>> render_dicom(const ReportModel& model, const Identity& identity, const std::vector<OutputFile>&, const Moment& now) {
    std::vector<OutputFile> files;
    std::vector<FiledSegment> segments;
    std::map<std::string, int> written;   // segmentations of each visit
    for (const SegmentedSeries& series : model.segmented) {
        if (series.segments.empty()) continue;
        const int number = ++written[series.timepoint_id];
        auto bytes = segmentation_bytes(model, identity, series, now, number);
        if (!bytes) return bytes.error();
        files.push_back({"dicom/" + series.timepoint_id + "/segmentation-" + std::to_string(number) + ".dcm", std::move(bytes).value()});
        list_segments(model, series, now, segments);
    }
    for (const Timepoint& visit : model.timepoints) {
        if (filing_study_uid(visit).empty()) continue;   // no images: nothing to file beside
        auto bytes = structured_report_bytes(model, identity, visit, segments, now);
        if (!bytes) return bytes.error();
        files.push_back({"dicom/" + visit.id + "/report-1.dcm", std::move(bytes).value()});
    }
    return files;
}

}  // namespace perisclera::report
