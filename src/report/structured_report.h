// SPDX-License-Identifier: Apache-2.0
#pragma once
// What one visit's images say, as a Comprehensive 3D SR by TID 1500 of PS3.16: one group for each element, eye and muscle, the changes up to this visit, and presence or
// absence of an explant for both eyes. Its numbers and words are those of report.json; a private code (private_codes.h) stands where no public one was found.
#include <string>
#include <vector>

#include "perisclera/core/result.h"
#include "src/report/content_tree.h"

namespace perisclera::report {

/// A segment of a segmentation that is filed as well.
struct FiledSegment {
    InstanceReference segmentation;
    int number;                          ///< in it, from 1
    std::string timepoint_id, source_series_uid;
    SegmentKind kind;
    Eye eye;
    std::string element_id;              ///< empty for a globe
};

/// Error: internal_fault.
Result<std::string> structured_report_bytes(const ReportModel& model, const Identity& identity, const Timepoint& visit, const std::vector<FiledSegment>& segments, const Moment& now);

/// The UID of that report.
std::string structured_report_uid(const ReportModel& model, const Timepoint& visit, const Moment& now);

}  // namespace perisclera::report
