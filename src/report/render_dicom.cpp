// SPDX-License-Identifier: Apache-2.0
#include "perisclera/report/render_dicom.h"

#include <map>

#include "src/report/segmentation_object.h"

namespace perisclera::report {

Result<std::vector<OutputFile>> render_dicom(const ReportModel& model, const Identity& identity, const std::vector<OutputFile>&, const Moment& now) {
    std::vector<OutputFile> files;
    std::map<std::string, int> written;   // segmentations of each visit
    for (const SegmentedSeries& series : model.segmented) {
        if (series.segments.empty()) continue;
        const int number = ++written[series.timepoint_id];
        auto bytes = segmentation_bytes(model, identity, series, now, number);
        if (!bytes) return bytes.error();
        files.push_back({"dicom/" + series.timepoint_id + "/segmentation-" + std::to_string(number) + ".dcm", std::move(bytes).value()});
    }
    return files;
}

}  // namespace perisclera::report
