// SPDX-License-Identifier: Apache-2.0
#pragma once
// One source series' masks as a DICOM Segmentation object (PS3.3 A.51): binary, one segment for each element and globe, in the study of the source and a series
// of its own. Segment k of the object is segments[k - 1] of the series.
#include <string>

#include "perisclera/core/result.h"
#include "perisclera/report/moment.h"
#include "perisclera/report/report_model.h"

namespace perisclera::report {

/// What other objects refer to it by. Both follow from source, version, options and moment.
struct SegmentationUids {
    std::string series_uid, sop_instance_uid;
};
SegmentationUids segmentation_uids(const ReportModel& model, const SegmentedSeries& series, const Moment& now);

/// The bytes of a DICOM file. `number`, from 1, tells the objects of a visit apart. Precondition: the series has segments. Error: internal_fault.
Result<std::string> segmentation_bytes(const ReportModel& model, const Identity& identity, const SegmentedSeries& series, const Moment& now, int number);

}  // namespace perisclera::report
