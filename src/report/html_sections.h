// SPDX-License-Identifier: Apache-2.0
#pragma once
// The parts of report.html; each returns one <section> (or nothing) with all text escaped.
#include <initializer_list>
#include <string>

#include "perisclera/report/html.h"
#include "perisclera/report/series_labels.h"

namespace perisclera::report {

std::string answer_section(const ReportModel& model);
std::string examination_section(const ReportModel& model, const SeriesLabels& labels);
std::string finding_section(const ReportModel& model);
std::string image_section(const ReportModel& model, const Figures& figures, const SeriesLabels& labels);
/// Of the image section: the profiles across the wall.
std::string profile_figures(const Figures& figures);
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

/// Each eye with an element laid flat by clock hours and arc from the limbus, as an examiner and as a surgeon sees it, and its section at every half hour.
std::string clock_maps(const ReportModel& model);

/// For leafing through the slices of each eye; shown where scripts run.
std::string slice_section(const ReportModel& model, const Figures& figures, const SeriesLabels& labels);
/// Each eye with an element in space: the still picture, and where scripts run one to be turned.
std::string scene_section(const ReportModel& model, const Figures& figures);

/// `<tag>text</tag>` with the text escaped.
std::string element(std::string_view tag, std::string_view text);
/// The heads of a table's columns.
std::string head_cells(std::initializer_list<std::string> texts);
/// JSON text that a script of the page reads; made safe, so that no text in it can end the script.
std::string data_script(std::string json);
std::string base64(std::string_view bytes);
/// A PNG as data URI.
std::string data_uri(const std::string& png);

}  // namespace perisclera::report
