// SPDX-License-Identifier: Apache-2.0
#include "perisclera/report/series_labels.h"

namespace perisclera::report {

SeriesLabels label_series(const ReportModel& model) {
    SeriesLabels labels;
    for (const Timepoint& t : model.timepoints) {
        for (const SeriesEntry& s : t.series) labels.try_emplace(s.series_uid, "S" + std::to_string(labels.size() + 1));
    }
    return labels;
}

}  // namespace perisclera::report
