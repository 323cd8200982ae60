// SPDX-License-Identifier: Apache-2.0
// Where a report is filed, and reports that simulated patients do not give: nothing measured, no segments, an element that is gone. Outside the code: dciodvfy of dicom3tools
// and dsrdump of dcmtk.
#include "src/report/structured_report.h"

#include <gtest/gtest.h>

#include <cstdlib>

#include "src/report/filing_study.h"
#include "tests/report/example_report.h"
#include "tests/report/outside_check.h"

namespace perisclera::report {
namespace {

Timepoint visit_of(const std::vector<std::pair<std::string, std::string>>& series_and_study) {
    Timepoint visit{.id = "t1", .study_date = example::date("20240101"), .series = {}, .right = {}, .left = {}};
    for (const auto& [series, study] : series_and_study) {
        visit.series.push_back(example::series(series, SeriesRole::t2, ""));
        visit.series.back().study_uid = study;
    }
    return visit;
}

TEST(FilingStudy, is_that_of_the_series_most_elements_were_measured_on) {
    Timepoint visit = visit_of({{"1.1", "1"}, {"2.1", "2"}, {"2.2", "2"}});
    visit.right.elements = {{.id = "R1", .measured_on = {"1.1"}}, {.id = "R2", .measured_on = {"1.1"}}};
    visit.left.elements = {{.id = "L1", .measured_on = {"2.2"}}};
    EXPECT_EQ(filing_study_uid(visit), "1");
}

TEST(FilingStudy, is_without_elements_that_of_most_used_series_and_then_the_first_by_uid) {
    EXPECT_EQ(filing_study_uid(visit_of({{"1.1", "1"}, {"2.1", "2"}, {"2.2", "2"}})), "2");
    EXPECT_EQ(filing_study_uid(visit_of({{"2.1", "2"}, {"1.1", "1"}})), "1");
    Timepoint visit = visit_of({{"1.1", "1"}, {"2.1", "2"}, {"2.2", "2"}});
    visit.series[1].used = visit.series[2].used = false;
    EXPECT_EQ(filing_study_uid(visit), "1");
    visit.series[0].used = false;
    EXPECT_EQ(filing_study_uid(visit), "");
}

/// The report of the last visit, printed; that it is sound is checked on the way.
std::string printed(ReportModel model) {
    for (Timepoint& visit : model.timepoints)
        for (SeriesEntry& series : visit.series) series.study_uid = "2.25.7" + visit.id.substr(1);
    const auto bytes = structured_report_bytes(model, example::identity(), model.timepoints.back(), {}, {2026, 2, 3, 14, 5, 6});
    EXPECT_TRUE(bytes.ok()) << one_line(bytes.error());
    const auto file = outside::written("report.dcm", bytes.value()), told = outside::scratch(file.stem().string() + ".txt");
    const auto run = [&](const std::string& command) {
        EXPECT_EQ(std::system((command + " " + file.string() + " > " + told.string() + " 2>&1").c_str()), 0) << command;
        return outside::read_back(told);
    };
    const std::string judged = run("/usr/bin/dciodvfy -new");
    EXPECT_EQ(judged.find("Error"), std::string::npos) << judged;
    return run("/usr/bin/dsrdump +Pl");
}

TEST(StructuredReport, a_visit_without_segments_still_has_its_element_in_a_group) {
    const std::string text = printed(example::full());
    EXPECT_NE(text.find("\"Tracking Identifier\")=\"R1\""), std::string::npos);
    EXPECT_NE(text.find("\"Volume\")=\"837.8\" (mm3"), std::string::npos);   // 590 mm3 grown by 1.42
    EXPECT_NE(text.find("\"Verdict on change\")=(SB-431,99PERISCLERA,\"enlarged\")"), std::string::npos);
    EXPECT_EQ(text.find("Referenced Segment"), std::string::npos);
}

TEST(StructuredReport, numbers_that_are_missing_have_a_qualifier_and_their_reason) {
    ReportModel model = example::unmeasured();
    model.timepoints[0].series = {example::series("1.2", SeriesRole::t2, "")};
    model.timepoints[0].left.elements[0].volume = Unmeasured{"its edge is lost in metal"};
    const std::string text = printed(model);
    EXPECT_NE(text.find("\"Volume\")=empty (114010,DCM,\"Value unknown\")"), std::string::npos);
    EXPECT_NE(text.find("\"its edge is lost in metal\""), std::string::npos);
    EXPECT_NE(text.find("\"Width\")=empty (114007,DCM,\"Measurement not attempted\")"), std::string::npos);
}

TEST(StructuredReport, an_element_that_is_gone_is_told) {
    ReportModel model = example::full();
    model.timepoints.back().right.elements.clear();
    model.timepoints.back().right.explant.presence = Presence::absent;
    model.changes[0].verdict = Verdict::removed;
    const std::string text = printed(model);
    EXPECT_NE(text.find("\"Verdict on change\")=(SB-434,99PERISCLERA,\"removed\")"), std::string::npos);
    EXPECT_NE(text.find("\"Explant for retinal detachment\")=(272519000,SCT,\"Absent\")"), std::string::npos);
}

// What fits no explant may be a growth or an abscess (src/report/finding.cpp says so to the reader).
TEST(StructuredReport, what_fits_no_explant_is_not_called_an_implant) {
    ReportModel model = example::full();
    model.changes.clear();
    model.trends.clear();
    model.timepoints.back().right.elements.front().material.label = Material::other;
    const std::string text = printed(model);
    EXPECT_NE(text.find("\"Finding\")=(52988006,SCT,\"Lesion\")"), std::string::npos);
    EXPECT_EQ(text.find("\"Implant\")"), std::string::npos);
}

TEST(StructuredReport, a_reports_words_know_nothing_of_later_visits) {
    const ReportModel model = example::full();
    ReportModel first = model;
    first.timepoints.pop_back();
    first.changes.clear();
    first.trends.clear();
    std::vector<std::string> words;
    for (ReportModel one : {model, first}) {
        for (Timepoint& visit : one.timepoints)
            for (SeriesEntry& series : visit.series) series.study_uid = "2.25.7";
        const auto bytes = structured_report_bytes(one, example::identity(), one.timepoints.front(), {}, {2026, 2, 3, 14, 5, 6}).value();
        words.push_back(bytes.substr(bytes.find("Finding in words")));
    }
    EXPECT_EQ(words[0], words[1]);
}

}  // namespace
}  // namespace perisclera::report
