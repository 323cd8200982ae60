// SPDX-License-Identifier: Apache-2.0
#pragma once
// What changed from date to date: each element of an eye against the date before, in the report's words.
#include "compared_dates.h"
#include "expected_elsewhere.h"
#include "perisclera/report/report_model.h"

namespace perisclera {

/// Has the elements of one eye judged anew with how they changed: since the last date that shows them, the first until the next. What is not comparable tells nothing.
void take_growth(const PatientStudies& patient, std::vector<NamedVisit>& visits, std::size_t which, const std::vector<ComparedDates>& compared);

/// Adds changes and rates of one eye. `places`: where one visit was looked at for what another shows.
void add_changes(report::ReportModel& model, const PatientStudies& patient, const std::vector<NamedVisit>& visits, const std::vector<PlaceAtVisit>& places, std::size_t which,
                 const std::vector<ComparedDates>& compared);

}  // namespace perisclera
