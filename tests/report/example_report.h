// SPDX-License-Identifier: Apache-2.0
#pragma once
// Invented reports for the tests of the writers. No number here comes from a patient.
#include "perisclera/report/report_model.h"

namespace perisclera::report::example {

/// Two dates of one invented patient: a swelling hydrogel (R1) in the right eye, no explant seen in the left.
ReportModel full();
/// As full(), with the second visit's material undetermined and an encircling band of uncertain material in the left eye.
ReportModel undetermined();
/// One date without any series or finding.
ReportModel minimal();
/// One date in which an element was found and nothing about it could be measured.
ReportModel unmeasured();
/// A name that would break a page that does not escape.
Identity identity();

}  // namespace perisclera::report::example
