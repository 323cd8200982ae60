// SPDX-License-Identifier: Apache-2.0
// Expected: PS3.5 6.2, table 6.2-1 (what DS, IS and UI may hold).
#include "perisclera/ingest/dicom_values.h"

#include <gtest/gtest.h>

#include <clocale>

namespace perisclera {
namespace {

TEST(DicomValues, decimal_strings_of_the_standard_are_read) {
    EXPECT_EQ(parse_decimal("0.5"), 0.5);
    EXPECT_EQ(parse_decimal(" -12.25 "), -12.25);
    EXPECT_EQ(parse_decimal("+3"), 3.0);
    EXPECT_EQ(parse_decimal("1.5E-2"), 0.015);
    EXPECT_EQ(parse_decimal("1e3"), 1000.0);
}

TEST(DicomValues, anything_else_is_no_number) {
    for (const char* text : {"", " ", "0,5", "nan", "NaN", "inf", "-inf", "1e999", "0x10", "1.0mm", "1 2", "+-1", "--1", "+", ".", "e5", "abc", "1\\2"})
        EXPECT_FALSE(parse_decimal(text).has_value()) << '"' << text << '"';
}

TEST(DicomValues, lists_have_exactly_the_count_asked_for) {
    EXPECT_EQ(parse_decimals("1\\2\\3", 3), (std::vector<double>{1.0, 2.0, 3.0}));
    for (const char* text : {"1\\2", "1\\2\\3\\4", "1\\\\3", "\\1\\2", "1\\2\\", ""}) EXPECT_FALSE(parse_decimals(text, 3).has_value()) << text;
}

TEST(DicomValues, integers) {
    EXPECT_EQ(parse_integer(" +7"), 7);
    for (const char* text : {"", "1.0", "1e2", "abc", "99999999999999999999"}) EXPECT_FALSE(parse_integer(text).has_value()) << text;
}

TEST(DicomValues, uids_hold_digits_and_single_dots_up_to_64_characters) {
    EXPECT_TRUE(valid_uid("1.2.840.10008.1.2"));
    EXPECT_TRUE(valid_uid(std::string(64, '1')));
    for (const std::string text : {"", "..", "../../x", "/etc", "1..2", ".1", "1.", "1.2a", "1.2 "}) EXPECT_FALSE(valid_uid(text)) << text;
    EXPECT_FALSE(valid_uid(std::string(65, '1')));
}

TEST(DicomValues, the_locale_does_not_matter) {
    const std::string before = std::setlocale(LC_NUMERIC, nullptr);
    // Without such a locale on the machine the call changes nothing and the check still holds.
    std::setlocale(LC_NUMERIC, "de_DE.UTF-8");
    EXPECT_EQ(parse_decimal("0.5"), 0.5);
    EXPECT_FALSE(parse_decimal("0,5").has_value());
    std::setlocale(LC_NUMERIC, before.c_str());
}

}  // namespace
}  // namespace perisclera
