// SPDX-License-Identifier: Apache-2.0
#pragma once
// The order of the stages: from one patient's visits to what the report says.
#include <array>
#include <cstdint>
#include <functional>
#include <optional>
#include <string_view>

#include "perisclera/assemble/image_series.h"
#include "perisclera/core/result.h"
#include "perisclera/material/operation_record.h"
#include "perisclera/report/report_model.h"

namespace perisclera {

struct IdentifyOptions {
    std::optional<Eye> eye;    ///< only this eye; nothing: both
    int threads = 1;           ///< does not change the result
    std::array<OperationRecord, 2> record{};   ///< what is told of the operation: right, left
    PerClass prior = prior_share;              ///< shares of the materials before any image is seen, each above 0, sum 1: what is found and how large it is does not hang on them
};

/// Told after each series: how many are analysed, of how many.
using AnalysisProgress = std::function<void(int done, int total)>;

/// What could not be found or compared is said in the model and its warnings (no_globe where an eye was asked for and is not shown,
/// cannot_compare where fewer than two dates could be compared is for the caller to judge from `changes`). Error: eye_conflict, where
/// nothing but series that contradict their header shows a globe.
Result<report::ReportModel> identify(const PatientStudies& patient, const IdentifyOptions& options, const AnalysisProgress& progress);

}  // namespace perisclera
