// SPDX-License-Identifier: Apache-2.0
// Expected: the Gregorian calendar (leap years by the rule of 400) and PS3.5 6.2 (DA).
#include <gtest/gtest.h>

#include "perisclera/assemble/image_series.h"

namespace perisclera {
namespace {

TEST(StudyDate, is_written_as_iso) { EXPECT_EQ(StudyDate::from_dicom("20160308").value().iso(), "2016-03-08"); }

TEST(StudyDate, accepts_trailing_spaces_only) {
    EXPECT_TRUE(StudyDate::from_dicom("20160308 ").ok());
    EXPECT_FALSE(StudyDate::from_dicom(" 20160308").ok());
}

TEST(StudyDate, refuses_what_is_no_day_of_the_calendar) {
    for (const char* text : {"", "2016", "20160230", "20161301", "20160100", "20150229", "19000229", "2016-03-08", "2016.03.08", "201603081", "0000000a", "18991231"}) {
        const auto date = StudyDate::from_dicom(text);
        ASSERT_FALSE(date.ok()) << text;
        EXPECT_EQ(date.error().code, ErrorCode::bad_value);
    }
    EXPECT_TRUE(StudyDate::from_dicom("20000229").ok());
}

TEST(StudyDate, counts_days_over_leap_years) {
    const auto days = [](const char* from, const char* to) { return StudyDate::from_dicom(to).value().days_since(StudyDate::from_dicom(from).value()); };
    EXPECT_EQ(days("20200228", "20200301"), 2);
    EXPECT_EQ(days("20190228", "20190301"), 1);
    EXPECT_EQ(days("20000101", "20000101"), 0);
    EXPECT_EQ(days("20210101", "20200101"), -366);
    EXPECT_EQ(days("19000101", "20000101"), 36524);  // 100 years of 365 days and 24 leap days
}

}  // namespace
}  // namespace perisclera
