// SPDX-License-Identifier: Apache-2.0
// The survey tells what the test has written, and nothing that identifies anybody.
#include "perisclera/assemble/survey.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/dicom_slice.h"
#include "tests/support/test_folder.h"

namespace perisclera {
namespace {

using test::DicomSlice;
using test::series_of;

Survey survey_of(const std::filesystem::path& folder) {
    const auto files = scan_inputs({folder});
    EXPECT_TRUE(files.ok());
    const auto listed = catalogue(files.value());
    EXPECT_TRUE(listed.ok());
    return survey(listed.value());
}

TEST(Survey, tells_patients_dates_series_and_what_was_left_aside) {
    const test::TestFolder folder;
    DicomSlice ct;
    ct.text = {{{0x0010, 0x0010}, "PLANTED^NAME"}, {{0x0010, 0x0020}, "PLANTEDID"}, {{0x0008, 0x103E}, "PLANTED TEXT"}};
    test::write_series(folder.path(), series_of(5, {0, 0, 0}, {0, 0, 2}, ct));
    DicomSlice report;
    report.text[{0x0008, 0x0016}] = "1.2.840.10008.5.1.4.1.1.88.11";
    test::write_slice(folder.path() / "report", report);
    test::write_bytes(folder.path() / "notes", "text");
    const Survey told = survey_of(folder.path());
    EXPECT_EQ(told.files_looked_at, 7);
    EXPECT_EQ(told.images, 5);
    EXPECT_EQ(told.not_dicom, 1);
    ASSERT_EQ(told.patients.size(), 1U);
    EXPECT_EQ(told.patients[0].number, 1);
    ASSERT_EQ(told.patients[0].studies.size(), 1U);
    ASSERT_EQ(told.patients[0].studies[0].series.size(), 1U);
    const SurveySeries& series = told.patients[0].studies[0].series[0];
    EXPECT_TRUE(series.used);
    EXPECT_EQ(series.images, 5);
    EXPECT_EQ(series.plane, Plane::axial);
    EXPECT_EQ(series.size, (std::array<int, 3>{12, 8, 5}));

    const std::string table = survey_table(told);
    EXPECT_EQ(table.find("PLANTED"), std::string::npos);
    for (const char* part : {"Patient 1", "2020-01-31", "CT, soft tissue", "axial", "0.25 x 0.50 x 2.00", "7 files looked at", "structured report"})
        EXPECT_NE(table.find(part), std::string::npos) << part << " in\n" << table;
}

TEST(Survey, a_faulty_series_is_listed_with_its_problem) {
    const test::TestFolder folder;
    auto slices = series_of(7, {0, 0, 0}, {0, 0, 2});
    slices.erase(slices.begin() + 3);
    test::write_series(folder.path(), slices);
    const Survey told = survey_of(folder.path());
    const SurveySeries& series = told.patients.at(0).studies.at(0).series.at(0);
    EXPECT_FALSE(series.used);
    EXPECT_FALSE(series.spacing_mm.has_value());
    ASSERT_EQ(series.problems.size(), 1U);
    EXPECT_NE(survey_table(told).find("slices are missing"), std::string::npos);
}

TEST(Survey, planes_are_named_after_the_nearest_within_thirty_degrees) {
    const auto turned = [](double degrees) { return PatientVector{0.0, std::sin(degrees * 0.017453292519943295), std::cos(degrees * 0.017453292519943295)}; };
    EXPECT_EQ(plane_of({0, 0, 1}), Plane::axial);
    EXPECT_EQ(plane_of({0, -1, 0}), Plane::coronal);
    EXPECT_EQ(plane_of({1, 0, 0}), Plane::sagittal);
    EXPECT_EQ(plane_of(turned(29)), Plane::axial);
    EXPECT_EQ(plane_of(turned(45)), Plane::oblique);
    EXPECT_EQ(plane_of(turned(61)), Plane::coronal);
}

}  // namespace
}  // namespace perisclera
