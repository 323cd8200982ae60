// SPDX-License-Identifier: Apache-2.0
#pragma once
// The parts of report.html; each returns one <section> (or nothing) with all text escaped.
#include <map>
#include <string>

#include "perisclera/report/html.h"

namespace perisclera::report {

/// Series UID to the short label that page and pictures use: "S1", "S2", ... in the order of the visits.
using SeriesLabels = std::map<std::string, std::string>;
SeriesLabels label_series(const ReportModel& model);

std::string answer_section(const ReportModel& model);
std::string examination_section(const ReportModel& model, const SeriesLabels& labels);
std::string finding_section(const ReportModel& model);
std::string image_section(const ReportModel& model, const Figures& figures, const SeriesLabels& labels);
std::string evidence_section(const ReportModel& model, const SeriesLabels& labels);
std::string measurement_section(const ReportModel& model, const Figures& figures, const SeriesLabels& labels);
std::string mechanism_section(const ReportModel& model);
std::string next_study_section(const ReportModel& model);
std::string limits_section(const ReportModel& model);
std::string impression_section(const ReportModel& model);
/// Of the measurement section.
std::string muscle_table(const ReportModel& model, Eye eye);
std::string considerations_section(const ReportModel& model);
std::string series_section(const ReportModel& model, const SeriesLabels& labels);

/// Both eyes from the front as an examiner sees them, as inline SVG: the elements last seen, by clock hours and arc from the limbus.
std::string eye_map(const ReportModel& model);

/// `<tag>text</tag>` with the text escaped.
std::string element(std::string_view tag, std::string_view text);
/// A PNG as data URI.
std::string data_uri(const std::string& png);

}  // namespace perisclera::report
