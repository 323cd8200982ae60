// SPDX-License-Identifier: Apache-2.0
#pragma once
#include "perisclera/material/operation_record.h"
#include "perisclera/report/report_model.h"

namespace perisclera {

/// What was told of the operation beside what the images say of the material; nothing where nothing was told.
std::optional<report::RecordedOperation> recorded_operation(const report::MaterialEntry& by_images, const OperationRecord& record);

}  // namespace perisclera
