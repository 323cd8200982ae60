// SPDX-License-Identifier: Apache-2.0
#pragma once
// Place and turn of one eye of a visit, each from the series that knows it best, as the report holds them.
#include "perisclera/report/report_model.h"
#include "visit_analysis.h"

namespace perisclera {

/// `which`: 0 the right eye, 1 the left.
report::MassEffect globe_place(const AnalysedVisit& analysed, const Visit& visit, std::size_t which);

}  // namespace perisclera
