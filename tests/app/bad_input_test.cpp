// SPDX-License-Identifier: Apache-2.0
// Bad input and bad usage, given to the built program: its exit status and one clear line (source: the list of exit statuses in
// the README), an output folder that is absent or untouched, inputs left alone, and no patient's name anywhere it must not be.
#include <unistd.h>

#include <cstdlib>
#include <clocale>
#include <csignal>
#include <filesystem>
#include <functional>
#include <map>
#include <regex>
#include <string>
#include <vector>

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "tests/support/child_process.h"
#include "tests/support/dicom_slice.h"
#include "tests/support/test_folder.h"

namespace perisclera::test {

namespace {

namespace fs = std::filesystem;

using Contents = std::map<fs::path, std::string>;

constexpr TagNumber patient_name{0x0010, 0x0010}, patient_id{0x0010, 0x0020}, pixel_spacing{0x0028, 0x0030}, rescale_intercept{0x0028, 0x1052},
    rescale_slope{0x0028, 0x1053}, rescale_type{0x0028, 0x1054};
constexpr const char* planted_name = "Zyxwvut^Qponmlk";

/// Twenty-four CT slices of 32 x 32 pixels, 1 mm apart: a ramp, so no eye is in them.
std::vector<DicomSlice> ct_series() {
    DicomSlice prototype;
    prototype.rows = prototype.columns = 32;
    prototype.text[patient_name] = planted_name;
    return series_of(24, {0, 0, 0}, {0, 0, 1}, prototype);
}

class BadInput : public ::testing::Test {
protected:
    fs::path in() const { return folder_.path() / "in"; }
    fs::path out() const { return folder_.path() / "out"; }
    void SetUp() override { fs::create_directories(in()); }

    Ended perisclera(std::vector<std::string> arguments, const ChildLimits& limits = {}) const {
        arguments.insert(arguments.begin(), PERISCLERA_PROGRAM);
        return run_child(arguments, limits);
    }
    Ended identify(std::vector<std::string> more = {}, const ChildLimits& limits = {}) const {
        std::vector<std::string> arguments{"identify", in().string(), "--out", out().string(), "--quiet"};
        arguments.insert(arguments.end(), more.begin(), more.end());
        return perisclera(arguments, limits);
    }

    /// Status, exactly one line of the documented form, and nothing but the inputs, unchanged, in the test's folder.
    void expect_refused(const std::function<Ended()>& run, int status, const std::string& code) const {
        const Contents before = contents_of(folder_.path());
        const Ended ended = run();
        EXPECT_EQ(ended.status, status);
        const std::regex one_line("error\\[(?:" + code + ")\\] [^\n:]+: [^\n:]+: [^\n]+\n");
        EXPECT_TRUE(std::regex_match(ended.error_text, one_line)) << ended.error_text;
        EXPECT_EQ(ended.output_text, "");
        EXPECT_EQ(ended.error_text.find("Zyxwvut"), std::string::npos);
        EXPECT_EQ(contents_of(folder_.path()), before);
    }
    void expect_identify_refused(int status, const std::string& code) const {
        expect_refused([&] { return identify(); }, status, code);
        EXPECT_FALSE(fs::exists(out()));
    }

    nlohmann::json report() const { return nlohmann::json::parse(read_bytes(out() / "report.json")); }

    static bool warns_of(const nlohmann::json& report, const std::string& code) {
        for (const auto& warning : report["warnings"])
            if (warning["code"] == code) return true;
        return false;
    }

    TestFolder folder_;
};

/// Ignores rights, as the super-user does: a folder that cannot be written is then another kind of file system.
bool rights_hold() { return ::geteuid() != 0; }

}  // namespace

TEST_F(BadInput, a_missing_folder_is_refused) {
    fs::remove(in());
    expect_identify_refused(3, "NO_IMAGES");
}

TEST_F(BadInput, an_empty_folder_is_refused) { expect_identify_refused(3, "NO_IMAGES"); }

TEST_F(BadInput, a_folder_without_dicom_is_refused) {
    write_bytes(in() / "notes.txt", "nothing of interest\n");
    write_bytes(in() / "numbers.bin", std::string(4096, '\7'));
    expect_identify_refused(3, "NO_IMAGES");
}

TEST_F(BadInput, a_text_file_named_as_dicom_is_refused) {
    write_bytes(in() / "image.dcm", "this is text\n");
    expect_identify_refused(3, "NOT_DICOM|NO_IMAGES");
}

TEST_F(BadInput, a_truncated_file_is_refused) {
    write_slice(in() / "one.dcm", ct_series().front());
    const std::string whole = read_bytes(in() / "one.dcm");
    write_bytes(in() / "one.dcm", whole.substr(0, whole.size() - 700));
    expect_identify_refused(3, "TRUNCATED|LENGTH_BEYOND_FILE|PIXELS_SHORT");
}

TEST_F(BadInput, a_slice_missing_in_the_middle_is_refused) {
    auto slices = ct_series();
    slices.erase(slices.begin() + 11);
    write_series(in(), slices);
    expect_identify_refused(3, "GAP_IN_STACK");
}

TEST_F(BadInput, a_slice_doubled_with_other_pixels_is_refused) {
    auto slices = ct_series();
    slices.push_back(slices[7]);
    slices.back().stored.front() += 50;
    write_series(in(), slices);
    expect_identify_refused(3, "SAME_UID_DIFFERENT_IMAGE");
}

TEST_F(BadInput, a_place_taken_twice_is_refused) {
    auto slices = ct_series();
    slices.push_back(slices[7]);
    slices.back().stored.front() += 50;
    slices.back().sop_uid += ".2";
    write_series(in(), slices);
    expect_identify_refused(3, "OVERLAPPING_SLICES");
}

class BadSpacing : public BadInput, public ::testing::WithParamInterface<const char*> {};

TEST_P(BadSpacing, is_refused) {
    auto slices = ct_series();
    for (auto& slice : slices) slice.text[pixel_spacing] = GetParam();
    write_series(in(), slices);
    expect_identify_refused(3, "BAD_SPACING|BAD_VALUE");
}

INSTANTIATE_TEST_SUITE_P(values, BadSpacing, ::testing::Values("0\\0", "", "0,5\\0,5"));

TEST_F(BadInput, two_patients_are_refused_until_one_is_chosen) {
    fs::create_directories(in() / "a");
    fs::create_directories(in() / "b");
    auto slices = ct_series();
    write_series(in() / "a", slices);
    for (auto& slice : slices) {
        slice.text[patient_id] = "CASE2";
        slice.text[patient_name] = "Somebody^Else";
        slice.text[{0x0010, 0x0030}] = "19630704";
        slice.sop_uid.replace(0, 5, "1.2.7");
        slice.series_uid = "1.2.7";
        slice.study_uid = "1.6";
    }
    write_series(in() / "b", slices);
    expect_identify_refused(3, "MIXED_PATIENTS");
    EXPECT_EQ(identify({"--patient", "1"}).status, 4);   // read and reported; there is no eye in it
    EXPECT_EQ(report()["timepoints"].size(), 1U);
}

TEST_F(BadInput, a_patient_number_that_survey_did_not_give_is_wrong_usage) {
    write_series(in(), ct_series());
    expect_refused([&] { return identify({"--patient", "5"}); }, 2, "USAGE");
}

TEST_F(BadInput, ct_without_rescale_is_refused) {
    auto slices = ct_series();
    for (auto& slice : slices) slice.absent = {rescale_intercept, rescale_slope, rescale_type};
    write_series(in(), slices);
    expect_identify_refused(3, "NO_HOUNSFIELD");
}

TEST_F(BadInput, eyes_outside_the_field_of_view_are_reported_in_part) {
    write_series(in(), ct_series());
    const Contents before = contents_of(in());
    const Ended ended = identify();
    EXPECT_EQ(ended.status, 4);
    EXPECT_NE(ended.error_text.find("warning[NO_GLOBE] "), std::string::npos) << ended.error_text;
    EXPECT_EQ(contents_of(in()), before);
    const nlohmann::json told = report();
    EXPECT_TRUE(warns_of(told, "NO_GLOBE"));
    for (const char* eye : {"right", "left"}) {
        EXPECT_NE(told["timepoints"][0]["eyes"][eye]["globe"]["status"], "found");
        EXPECT_EQ(told["timepoints"][0]["eyes"][eye]["explant"]["presence"], "uncertain");
    }
    EXPECT_TRUE(fs::exists(out() / "report.html"));
    EXPECT_TRUE(fs::exists(out() / "report.pdf"));
    // The planted name stays out of everything but the objects and pages that are filed with the patient.
    EXPECT_EQ((ended.output_text + ended.error_text + read_bytes(out() / "report.json")).find("Zyxwvut"), std::string::npos);
}

TEST_F(BadInput, json_on_standard_output_is_the_report_and_survey_names_nobody) {
    write_series(in(), ct_series());
    const Ended ended = identify({"--json"});
    EXPECT_EQ(nlohmann::json::parse(ended.output_text), report());
    for (const std::vector<std::string>& how : {std::vector<std::string>{"survey", in().string()}, {"survey", in().string(), "--json"}}) {
        const Ended told = perisclera(how);
        EXPECT_EQ(told.status, 0);
        EXPECT_EQ((told.output_text + told.error_text).find("Zyxwvut"), std::string::npos);
    }
}

TEST_F(BadInput, an_output_folder_that_is_not_empty_needs_force) {
    write_series(in(), ct_series());
    fs::create_directories(out());
    write_bytes(out() / "kept.txt", "mine");
    expect_refused([&] { return identify(); }, 2, "OUTPUT_NOT_EMPTY");
    EXPECT_EQ(identify({"--force"}).status, 4);
    EXPECT_EQ(read_bytes(out() / "kept.txt"), "mine");
    EXPECT_TRUE(fs::exists(out() / "report.json"));
}

TEST_F(BadInput, output_below_a_file_cannot_be_written) {
    write_series(in(), ct_series());
    write_bytes(folder_.path() / "file", "mine");
    expect_refused([&] { return perisclera({"identify", in().string(), "--quiet", "--out", (folder_.path() / "file" / "out").string()}); }, 5, "OUTPUT_FAILED");
}

TEST_F(BadInput, output_in_a_folder_without_the_right_to_write_fails) {
    // The super-user may write anywhere but in the kernel's own folders.
    write_series(in(), ct_series());
    fs::path place = "/proc";
    if (rights_hold()) {
        place = folder_.path() / "locked";
        fs::create_directories(place);
        fs::permissions(place, fs::perms::owner_read | fs::perms::owner_exec);
    }
    expect_refused([&] { return perisclera({"identify", in().string(), "--quiet", "--out", (place / "out").string()}); }, 5, "OUTPUT_FAILED");
}

TEST_F(BadInput, a_full_disk_leaves_nothing_behind) {
    write_series(in(), ct_series());
    ChildLimits limits;
    limits.file_bytes = 2000;   // less than any page of the report
    expect_refused([&] { return identify({}, limits); }, 5, "OUTPUT_FAILED");
    EXPECT_FALSE(fs::exists(out()));
}

TEST_F(BadInput, output_inside_an_input_is_wrong_usage) {
    write_series(in(), ct_series());
    expect_refused([&] { return perisclera({"identify", in().string(), "--out", (in() / "out").string()}); }, 2, "OUTPUT_INSIDE_INPUT");
}

TEST_F(BadInput, unknown_options_and_commands_are_wrong_usage) {
    expect_refused([&] { return identify({"--bogus"}); }, 2, "USAGE");
    expect_refused([&] { return perisclera({"frobnicate"}); }, 2, "USAGE");
    expect_refused([&] { return perisclera({}); }, 2, "USAGE");
    expect_refused([&] { return perisclera({"identify", in().string()}); }, 2, "USAGE");
    expect_refused([&] { return identify({"--eye", "third"}); }, 2, "USAGE");
}

TEST_F(BadInput, a_bad_scenario_key_is_named) {
    const fs::path scenario = folder_.path() / "scenario.json";
    write_bytes(scenario, R"({"seed": 1, "patient": {"id": "SIM-X", "birth_year": 1950}, "colour": "red",
                              "timepoints": [{"study_date": "2020-01-31", "series": [{"kind": "ct"}]}]})");
    const auto run = [&] { return perisclera({"phantom", scenario.string(), "--out", out().string()}); };
    expect_refused(run, 2, "BAD_SCENARIO");
    EXPECT_NE(run().error_text.find("colour"), std::string::npos);
    EXPECT_FALSE(fs::exists(out()));
}

TEST_F(BadInput, one_date_cannot_be_tracked_but_is_reported) {
    write_series(in(), ct_series());
    const Ended ended = perisclera({"track", in().string(), "--out", out().string(), "--quiet"});
    EXPECT_EQ(ended.status, 4);
    EXPECT_TRUE(warns_of(report(), "CANNOT_COMPARE"));
}

TEST_F(BadInput, questions_about_the_program_are_answered) {
    for (const char* question : {"--limits", "--version", "--help"}) {
        const Ended ended = perisclera({question});
        EXPECT_EQ(ended.status, 0) << question;
        EXPECT_NE(ended.output_text, "") << question;
        EXPECT_EQ(ended.error_text, "") << question;
    }
}

// The environment that users set, rather than the call that the libraries' own test makes.
TEST_F(BadInput, a_locale_with_comma_decimals_changes_no_byte) {
    if (std::setlocale(LC_ALL, "de_DE.UTF-8") == nullptr) {
        ASSERT_EQ(std::getenv("PERISCLERA_REQUIRE_TEST_DATA"), nullptr) << "the test command makes a locale with comma decimals";
        GTEST_SKIP() << "no locale with comma decimals is installed";
    }
    std::setlocale(LC_ALL, "C");
    write_series(in(), ct_series());
    EXPECT_EQ(identify().status, 4);
    const std::string plain = read_bytes(out() / "report.json");
    fs::remove_all(out());
    EXPECT_EQ(run_child({"/usr/bin/env", "LC_ALL=de_DE.UTF-8", PERISCLERA_PROGRAM, "identify", in().string(), "--out", out().string(), "--quiet"}).status, 4);
    EXPECT_EQ(read_bytes(out() / "report.json"), plain);
    EXPECT_NE(plain, "");
}

// 143 = 128 + SIGTERM, as shells count it. The signal is sent once the program says that it works.
TEST_F(BadInput, a_run_that_is_told_to_end_leaves_nothing_behind) {
    const fs::path scenario = folder_.path() / "scenario.json";
    write_bytes(scenario, R"({"seed": 1, "patient": {"id": "SIM-X", "birth_year": 1950},
                              "timepoints": [{"study_date": "2020-01-31", "series": [{"kind": "ct", "spacing_mm": 1.0, "slice_thickness_mm": 4}, {"kind": "ct"}, {"kind": "ct"}]}]})");
    const Contents before = contents_of(folder_.path());
    ChildLimits limits;
    limits.end_at_first_error_text = SIGTERM;
    const Ended ended = perisclera({"phantom", scenario.string(), "--out", out().string(), "--threads", "1"}, limits);
    EXPECT_EQ(ended.status, 143) << ended.error_text;
    EXPECT_EQ(contents_of(folder_.path()), before);
    EXPECT_EQ(std::distance(fs::directory_iterator(folder_.path()), fs::directory_iterator{}), 2) << "a folder aside is left";
}

}  // namespace perisclera::test
