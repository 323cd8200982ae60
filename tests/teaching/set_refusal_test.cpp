// SPDX-License-Identifier: Apache-2.0
// What cannot become a set ends with the status that the contract gives, one clear line, and nothing written.
#include <gtest/gtest.h>

#include <algorithm>
#include <regex>

#include "tests/teaching/set_run.h"

namespace perisclera::test {

namespace {

namespace fs = std::filesystem;

class SetRefusal : public ::testing::Test {
protected:
    SetRefusal() { fs::copy(material_cases().hydrogel, one(), fs::copy_options::recursive); }
    [[nodiscard]] fs::path one() const { return folder_.path() / "one"; }
    [[nodiscard]] fs::path out() const { return folder_.path() / "out"; }
    void expect_refused(int status, const std::string& code, const std::vector<fs::path>& cases, const std::vector<std::string>& more = {}) const {
        const auto before = contents_of(folder_.path());
        const Ended told = make_set(cases, out(), more);
        EXPECT_EQ(told.status, status) << told.error_text;
        EXPECT_TRUE(told.error_text.starts_with("error[" + code + "]")) << told.error_text;
        EXPECT_EQ(std::count(told.error_text.begin(), told.error_text.end(), '\n'), 1) << told.error_text;
        EXPECT_EQ(contents_of(folder_.path()), before);
    }
    void change(const fs::path& file, const std::string& what, const std::string& to) const {
        const std::string before = read_bytes(one() / file), after = std::regex_replace(before, std::regex(what), to, std::regex_constants::format_first_only);
        ASSERT_NE(before, after);
        write_bytes(one() / file, after);
    }
    TestFolder folder_;
};

}  // namespace

TEST_F(SetRefusal, a_folder_that_is_no_teaching_file) {
    fs::create_directories(folder_.path() / "empty");
    expect_refused(3, "BAD_VALUE", {one(), folder_.path() / "empty"});
    expect_refused(3, "BAD_VALUE", {folder_.path() / "not-there"});
}

TEST_F(SetRefusal, the_same_case_twice_even_as_a_copy_with_another_history) {
    expect_refused(3, "CONFLICTING_VALUES", {one(), one()});
    fs::copy(one(), folder_.path() / "copy", fs::copy_options::recursive);
    write_bytes(folder_.path() / "copy/question/question.json", std::regex_replace(read_bytes(one() / "question/question.json"), std::regex("double vision"), "pain"));
    expect_refused(3, "CONFLICTING_VALUES", {one(), material_cases().solid, folder_.path() / "copy"});
}

TEST_F(SetRefusal, a_case_of_an_earlier_version_or_of_another_format) {
    change("question/question.json", "\"format_version\": 1", "\"format_version\": 0");
    expect_refused(3, "BAD_VALUE", {one()});
    fs::remove(one() / "question/question.json");
    expect_refused(3, "BAD_VALUE", {one()});
}

TEST_F(SetRefusal, an_answer_of_another_format_or_none) {
    change("answer/answer.json", "perisclera-teaching-answer", "something-else");
    expect_refused(3, "BAD_VALUE", {one()});
    write_bytes(one() / "answer/answer.json", "[1, 2");
    expect_refused(3, "BAD_VALUE", {one()});
    fs::remove(one() / "answer/answer.json");
    expect_refused(3, "BAD_VALUE", {one()});
}

TEST_F(SetRefusal, a_picture_that_is_missing_or_none) {
    write_bytes(one() / "question/images/02.png", "no picture");
    expect_refused(3, "BAD_VALUE", {one()});
    fs::remove(one() / "question/images/02.png");
    expect_refused(3, "BAD_VALUE", {one()});
}

TEST_F(SetRefusal, an_answer_that_names_a_picture_outside_the_case) {
    change("answer/answer.json", "figures/01", "figures/../../../01");
    expect_refused(3, "BAD_VALUE", {one()});
}

TEST_F(SetRefusal, images_as_dicom_that_are_not_there) { expect_refused(3, "BAD_VALUE", {one()}, {"--with-dicom"}); }

TEST_F(SetRefusal, output_that_is_there_or_would_lie_in_a_case) {
    fs::create_directories(out());
    write_bytes(out() / "mine", "mine");
    expect_refused(2, "OUTPUT_NOT_EMPTY", {one()});
    EXPECT_EQ(make_set({one()}, one() / "set").status, 2);
    EXPECT_FALSE(fs::exists(one() / "set"));
}

TEST_F(SetRefusal, a_level_of_no_case_or_no_level) {
    for (const char* level : {"2=advanced", "0=advanced", "1=hard", "advanced", "1", ""}) expect_refused(2, "USAGE", {one()}, {"--level", level});
}

TEST_F(SetRefusal, a_set_and_a_result_together_or_neither) {
    EXPECT_EQ(run_child({PERISCLERA_PROGRAM, "teach", one().string(), one().string(), "--set", one().string(), "--out", out().string()}).status, 2);
    EXPECT_EQ(run_child({PERISCLERA_PROGRAM, "teach", "--out", out().string()}).status, 2);
    EXPECT_EQ(run_child({PERISCLERA_PROGRAM, "teach", one().string(), one().string(), "--level", "1=advanced", "--out", out().string()}).status, 2);
    EXPECT_FALSE(fs::exists(out()));
}

TEST_F(SetRefusal, but_a_set_with_its_images_as_dicom_is_made) {
    fs::create_directories(one() / "dicom/t1/series-1");
    write_bytes(one() / "dicom/t1/series-1/0001.dcm", "an image");
    write_bytes(one() / "dicom/t1/series-1/notes.txt", "kept for me");
    ASSERT_EQ(make_set({one()}, out(), {"--with-dicom"}).status, 0);
    EXPECT_EQ(read_bytes(out() / "student/case-1/dicom/t1/series-1/0001.dcm"), "an image");
    EXPECT_FALSE(fs::exists(out() / "student/case-1/dicom/t1/series-1/notes.txt"));
}

}  // namespace perisclera::test
