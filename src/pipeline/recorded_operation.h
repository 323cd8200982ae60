// SPDX-License-Identifier: Apache-2.0
#pragma once
#include "perisclera/material/operation_record.h"
#include "perisclera/report/report_model.h"

namespace perisclera {

/// Puts what was told of the operation beside what the images say of the material, which it leaves alone, and where the original section was told what water its growth
/// would mean.
void add_record(report::ElementEntry& element, const OperationRecord& record, const PerClass& prior);

}  // namespace perisclera
