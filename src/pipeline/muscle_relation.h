// SPDX-License-Identifier: Apache-2.0
#pragma once
// How an element lies to a rectus, by place alone: no tendon shows on these scans, so the muscle is taken to insert where published.
#include "perisclera/anatomy/recti.h"
#include "perisclera/report/report_model.h"

namespace perisclera {

/// Told are only a muscle that is not reached and an element that lies wholly in front of where it inserts; whether a muscle that is
/// crossed lies over the element or is pierced by it stays open. The distance is positive where the front edge lies behind the insertion.
report::MuscleElement relation_by_place(const report::ElementEntry& element, Rectus rectus, Eye eye);

}  // namespace perisclera
