// SPDX-License-Identifier: Apache-2.0
#pragma once
// Sentences that page and PDF share, in the order in which a report is read: answer, clinical context, technique, comparison, (findings), limits, impression.
#include <array>
#include <string>
#include <vector>

#include "perisclera/report/report_model.h"
#include "src/report/html_sections.h"

namespace perisclera::report {

/// One sentence for each eye, right first.
std::array<std::string, 2> answer(const ReportModel& model);
/// What was told of the patient apart from the images.
std::string clinical_context(const ReportModel& model);
/// One sentence for each date: the series used and not used.
std::vector<std::string> technique(const ReportModel& model, const SeriesLabels& labels);
std::string comparison(const ReportModel& model);
/// What these scans cannot show, and how numbers and words are meant.
std::vector<std::string> limits(const ReportModel& model);
/// What stands under the impression beside the answer.
std::string impression_note();

}  // namespace perisclera::report
