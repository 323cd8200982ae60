// SPDX-License-Identifier: Apache-2.0
#pragma once
// The drawn key images as Secondary Captures (PS3.3 A.8.1), each in the study of the series it shows, and for each of these studies a Key Object Selection (PS3.3 A.35.4,
// PS3.16 TID 2010) that points to them and to the slices they were made from.
#include <string>
#include <vector>

#include "perisclera/core/result.h"
#include "perisclera/report/moment.h"
#include "perisclera/report/render_report.h"
#include "src/report/content_tree.h"

namespace perisclera::report {

/// A key image that is filed.
struct FiledPicture {
    InstanceReference capture;
    std::vector<InstanceReference> sources;   ///< all images that it is resampled from
    InstanceReference nearest_source;         ///< the one through what it shows; empty UIDs where the model does not tell
    int nearest_frame = 0;                    ///< of an enhanced image; else 0
    std::string timepoint_id, bytes;
    int number;                               ///< in its series, from 1
};

/// In the order of the model's key images. `report`: what render_report() gave. Error: internal_fault.
Result<std::vector<FiledPicture>> key_image_objects(const ReportModel& model, const Identity& identity, const std::vector<OutputFile>& report, const Moment& now);

/// How each selection of ours begins: language, who made it, and what it is in words.
void begin_selection(ContentTree& tree, const std::string& description);

/// The selection for one study; `pictures`: all of them. Error: internal_fault.
Result<std::string> key_object_selection_bytes(const ReportModel& model, const Identity& identity, const std::vector<FiledPicture>& pictures, const std::string& study_uid, const Moment& now);

}  // namespace perisclera::report
