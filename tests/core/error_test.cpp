// SPDX-License-Identifier: Apache-2.0
#include "perisclera/core/error.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <set>
#include <vector>

namespace perisclera {

std::vector<ErrorCode> all_codes() {
    std::vector<ErrorCode> codes;
    for (int i = static_cast<int>(ErrorCode::usage); i <= static_cast<int>(ErrorCode::internal_fault); ++i) codes.push_back(static_cast<ErrorCode>(i));
    return codes;
}

TEST(Error, every_code_has_its_own_name_in_capitals) {
    std::set<std::string_view> names;
    for (const ErrorCode code : all_codes()) {
        const auto text = name(code);
        EXPECT_TRUE(names.insert(text).second) << text << " names two codes";
        EXPECT_FALSE(text.empty());
        EXPECT_TRUE(std::all_of(text.begin(), text.end(), [](char c) { return (c >= 'A' && c <= 'Z') || c == '_'; })) << text;
    }
}

// The statuses that the README promises to callers; 1 is never used.
TEST(Error, every_code_ends_the_program_with_a_documented_status) {
    const std::set<int> documented{0, 2, 3, 4, 5, 6, 70, 130, 143};
    for (const ErrorCode code : all_codes()) EXPECT_TRUE(documented.contains(exit_status(code))) << name(code) << " gives " << exit_status(code);
}

TEST(Error, status_tells_whose_turn_it_is) {
    const std::map<ErrorCode, int> documented{
        {ErrorCode::usage, 2},          {ErrorCode::output_not_empty, 2}, {ErrorCode::output_inside_input, 2}, {ErrorCode::bad_scenario, 2},
        {ErrorCode::no_images, 3},      {ErrorCode::truncated, 3},        {ErrorCode::bad_spacing, 3},         {ErrorCode::gap_in_stack, 3},
        {ErrorCode::mixed_patients, 3}, {ErrorCode::no_hounsfield, 3},    {ErrorCode::not_same_patient, 3},    {ErrorCode::no_globe, 4},
        {ErrorCode::incomplete, 4},     {ErrorCode::cannot_compare, 4},   {ErrorCode::output_failed, 5},       {ErrorCode::limit_reached, 6},
        {ErrorCode::interrupted, 130},  {ErrorCode::internal_fault, 70},  {ErrorCode::lossy_compression, 0},
        {ErrorCode::bad_findings, 3},
    };
    for (const auto& [code, status] : documented) EXPECT_EQ(exit_status(code), status) << name(code);
}

TEST(Error, is_told_in_one_line) {
    EXPECT_EQ(one_line({ErrorCode::gap_in_stack, "a slice is missing", "series 2", "send the whole series"}),
              "error[GAP_IN_STACK] a slice is missing: series 2: send the whole series");
}

TEST(Error, text_from_a_file_cannot_fake_a_second_line) {
    const std::string line = one_line({ErrorCode::bad_value, "value\nerror[NONE] all is well", "file\r7", "look\x1b[2J"});
    EXPECT_EQ(line, "error[BAD_VALUE] value\\x0aerror[NONE] all is well: file\\x0d7: look\\x1b[2J");
}

}  // namespace perisclera
